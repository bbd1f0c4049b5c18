"""What people say of ways out for what is late: every sentence is invented."""

from assistant.conversation.requests import Request

RESCUE: list[tuple[str, Request]] = []
