"""What people say of how likely a box is to be complete: every sentence is invented."""

from assistant.conversation.requests import Request

CHANCE: list[tuple[str, Request]] = []
