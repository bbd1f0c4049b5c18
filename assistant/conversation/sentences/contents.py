"""Sentences about contents: what a box lacks, what could go into it, offers."""

from assistant.conversation.sentences import idea_ref, one_line


def what_is_missing(box: str) -> str:
    """Ask what a box still lacks."""
    return f"what is missing in {box}"


def suggest_items(box: str) -> str:
    """Ask what could go into a box."""
    return f"suggest items for {box}"


def offer_ref(offer_id: str) -> str:
    """A short, stable name for an offer: eight hex digits."""
    return idea_ref(offer_id)


def find_offers(words: str = "", supplier: str = "") -> str:
    """Ask for the offers about some words, of one supplier (its name), or for all of them."""
    whose = f" of {one_line(supplier)}" if supplier else ""
    return f"offers{whose}{f' about {one_line(words)}' if words else ''}"


def add_offer(offer_id: str, box: str) -> str:
    """Take an offer into a box."""
    return f"add offer {offer_ref(offer_id)} to {box}"


def price_list_from(supplier: str) -> str:
    """Say whose price list was read."""
    return f"the price list is from {one_line(supplier)}"
