"""What people say of how many to order: every sentence is invented."""

from assistant.conversation.requests import Request

QUANTITIES: list[tuple[str, Request]] = []
