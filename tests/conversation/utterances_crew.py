"""What people say of who does what: every sentence is invented."""

from assistant.conversation.requests import Request

CREW: list[tuple[str, Request]] = []
