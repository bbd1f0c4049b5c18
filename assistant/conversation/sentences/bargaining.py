"""Sentences about bargaining, enquiries and quotes."""

from assistant.conversation.order_requests import NoteQuote
from assistant.conversation.sentences import idea_ref, item_name, lead, one_line
from assistant.planning.model import Shop
from assistant.scheduling.countries import country_name


def who_to_bargain() -> str:
    """Ask which suppliers a better rate can be asked of."""
    return "who can I bargain with"


def brief(supplier: str) -> str:
    """Ask what to ask of a supplier (its name)."""
    return f"brief for {_quoted(supplier)}"


def enquiry(shop: Shop, supplier: str, item_id: str = "") -> str:
    """Ask for an enquiry to a supplier (its name), of one item alone where it is named."""
    what = f" about {item_name(shop, item_id)}" if item_id else ""
    return f"write an enquiry{what} to {_quoted(supplier)}"


def quote(shop: Shop, told: NoteQuote) -> str:
    """Tell a quote whole."""
    goods = item_name(shop, told.item) if told.item else _quoted(told.name)
    return f"quote of {_quoted(told.supplier)} on {goods}: {', '.join(_terms(told))}"


def compare(shop: Shop, item_id: str) -> str:
    """Ask for the quotes for an item, compared."""
    return f"compare the quotes for {item_name(shop, item_id)}"


def take(shop: Shop, offer_id: str, item_id: str) -> str:
    """Buy an item by a quote."""
    return f"take quote {idea_ref(offer_id)} for {item_name(shop, item_id)}"


def _terms(told: NoteQuote) -> list[str]:
    """The terms of a quote, a piece each, in the words in which they are read."""
    money = f" {told.currency}".rstrip()
    pieces = [] if told.price is None else [f"{told.price:f}{money} each"]
    pieces += [f"from {one.quantity} at {one.price:f}{money}" for one in told.breaks]
    if told.minimum is not None:
        pieces.append(f"minimum {told.minimum}")
    if told.case_pack is not None:
        pieces.append(f"cases of {told.case_pack}")
    if told.setup is not None:
        pieces.append(f"set-up {told.setup:f}{money}")
    if told.carriage is not None:
        pieces.append(f"carriage {told.carriage:f}{money}")
    if told.lead is not None:
        pieces.append(f"lead {lead(told.lead)}")
    if told.transit_days is not None:
        pieces.append(f"transit {told.transit_days} calendar days")
    return [*pieces, *_rest(told)]


def _rest(told: NoteQuote) -> list[str]:
    pieces = [f"made in {country_name(told.made_in) or told.made_in}"] if told.made_in else []
    pieces += [f"{told.grams} g"] if told.grams is not None else []
    pieces += [f"{' x '.join(map(str, told.mm))} mm"] if told.mm is not None else []
    pieces += [f"quoted {told.quoted}"] if told.quoted else []
    return pieces + ([f"valid until {told.valid_until}"] if told.valid_until else [])


def _quoted(name: str) -> str:
    """A name in quotes, so that a sentence may carry any words in it."""
    return f'"{one_line(name).replace(chr(34), chr(39))}"'
