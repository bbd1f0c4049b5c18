"""What people say of purchase orders: every sentence is invented."""

from assistant.conversation.requests import Request

ORDERS: list[tuple[str, Request]] = []
