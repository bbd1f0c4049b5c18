"""Sentences about lots: one or several, every way to buy."""

from assistant.conversation.sentences import item_name
from assistant.conversation.sentences.quantities import lots as lots
from assistant.planning.model import Shop


def every_way(shop: Shop, item_id: str) -> str:
    """Ask what each way to buy an item of several boxes costs."""
    return f"every way to buy {item_name(shop, item_id)}"
