"""What people say of the packing run: every sentence is invented."""

from assistant.conversation.requests import Request

PACKING: list[tuple[str, Request]] = []
