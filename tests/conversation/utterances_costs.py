"""What people say of costs, postage and rates: every sentence is invented."""

from assistant.conversation.requests import Request

COSTS: list[tuple[str, Request]] = []
