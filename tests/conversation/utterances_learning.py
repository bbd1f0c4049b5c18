"""What people say of what a box taught: every sentence is invented."""

from assistant.conversation.requests import Request

LEARNING: list[tuple[str, Request]] = []
