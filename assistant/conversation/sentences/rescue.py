"""What buttons say of ways out for what is late; invariants as in the package.

A way is named by its words (`WORDS`), with what it needs: a box by its id, items, offers and ideas
by short references, so that no word of a name is taken for another.
"""

from assistant.conversation.sentences import idea_ref, item_name
from assistant.conversation.sentences.contents import offer_ref
from assistant.conversation.sentences.rearranging import item_ref
from assistant.planning.model import Shop

WORDS: dict[str, str] = {
    "wait": "wait",
    "faster": "faster carriage",
    "split": "split the delivery",
    "twice": "pack twice",
    "swap": "swap with",
    "move": "send it with",
    "later": "take item",
    "offer": "take offer",
    "idea": "take idea",
    "part": "part from offer",
}
BY_BOX = ("swap", "move")  # what they need is a box
BY_REF = {"later": item_ref, "offer": offer_ref, "idea": idea_ref, "part": offer_ref}


def rescue_item(shop: Shop, item_id: str) -> str:
    """Ask what can be done for an item that will be late."""
    return f"ways out for {item_name(shop, item_id)}"


def rescue_box(box: str) -> str:
    """Ask what can be done for a box that cannot ship complete."""
    return f"ways out for {box}"


def take(shop: Shop, item_id: str, way: str, other: str = "") -> str:
    """Go one of the ways out for an item: its code, and the id of what it needs."""
    named = BY_REF[way](other) if way in BY_REF else other if way in BY_BOX else ""
    return f"way out for {item_name(shop, item_id)}: {WORDS[way]} {named}".rstrip()
