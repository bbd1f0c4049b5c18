"""What people say of goods that carry duties: every sentence is invented."""

from assistant.conversation.requests import Request

CAUTIONS: list[tuple[str, Request]] = []
