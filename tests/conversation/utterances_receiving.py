"""What people say of what was ordered and came: every sentence is invented."""

from assistant.conversation.requests import Request

RECEIVING: list[tuple[str, Request]] = []
