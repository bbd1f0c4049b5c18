"""What people say of counts of subscribers: every sentence is invented."""

from assistant.conversation.requests import Request

COUNTING: list[tuple[str, Request]] = []
