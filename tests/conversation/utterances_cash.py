"""What people say of money in and out: every sentence is invented."""

from assistant.conversation.requests import Request

CASH: list[tuple[str, Request]] = []
