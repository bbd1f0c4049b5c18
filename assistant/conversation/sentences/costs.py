"""Sentences about costs, the shop's figures, rates and postage; invariants as in the package."""

from assistant.conversation.sentences import item_name
from assistant.conversation.sentences.rearranging import quoted
from assistant.planning.model import Shop


def show_costs(box: str = "", year: int | None = None, *, whole: bool = False) -> str:
    """Ask what a box costs, or every box of a year ("" and None: of those to come)."""
    what = f"what does {box} cost" if box else f"costs of {year or 'the year'}"
    return f"{what} in full" if whole else what


def draw_costs(year: int | None = None) -> str:
    """Ask for the costs of the boxes as a picture."""
    return f"picture of the costs of {year or 'the year'}"


def item_cost(shop: Shop, item_id: str) -> str:
    """Ask what an item costs landed."""
    return f"landed cost of {item_name(shop, item_id)}"


def cheaper(box: str) -> str:
    """Ask what would make a box cheaper."""
    return f"make {box} cheaper"


def show_books() -> str:
    """Ask for the figures of the shop."""
    return "what do you reckon with"


def show_rates() -> str:
    """Ask for the rates that are kept."""
    return "rates"


def show_postage() -> str:
    """Ask for the tables of postage."""
    return "postage prices"


def drop_postage(service: str) -> str:
    """Forget a service's table."""
    return f"forget postage {quoted(service)}"
