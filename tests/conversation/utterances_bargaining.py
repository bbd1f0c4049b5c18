"""What people say of quotes and bargaining: every sentence is invented."""

from assistant.conversation.requests import Request

BARGAINING: list[tuple[str, Request]] = []
