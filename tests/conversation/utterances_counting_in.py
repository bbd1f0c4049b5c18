"""What people say of counting in, and claims: every sentence is invented."""

from assistant.conversation.requests import Request

COUNTING_IN: list[tuple[str, Request]] = []
