"""What is said of a box's contents: what it lacks, and what could go into it.

Knows: what a box holds (year/contents), suggestions, and how they are written. Must not know:
which question was asked. Invariants: at most eight lines; what is not known is named, never
guessed; room is told by volume, as a bound; each suggestion says where it comes from.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.conversation.replies.plan import THEME, name, weight
from assistant.planning.model import Idea, Offer
from assistant.planning.year.contents import Contents
from assistant.planning.year.offers import Suggestion

NAMED = 3  # items that one line names
WORDS = 3  # of a theme that one line names
LITRE = 1000  # cubic centimetres

NOTHING_MISSING = "Nothing is missing that I know of."


def title(box: str, today: date) -> str:
    """The heading of what a box lacks."""
    return f"{box_name(box, today)}: what is missing"


def _litres(cubic_cm: int) -> str:
    return f"{(Decimal(cubic_cm) / LITRE).quantize(Decimal('0.1')):f}"


def how_many(found: Contents) -> str:
    """Say how many items a box has and wants: "4 of 6 items: 2 short"."""
    if found.wanted is None:
        return f"{plural(found.items, 'item')}; how many you want: say 6 items a box"
    lacks = f": {found.short} short" if found.short else ""
    return f"{found.items} of {plural(found.wanted, 'item')}{lacks}"


def cost(found: Contents, currency: str) -> str:
    """Say what the items cost, and what is left: "£10.60 of £14.00: £3.40 left"."""
    so_far = money(found.cost, currency)
    if found.target is None or found.left is None:
        return f"{so_far} a box so far; for a target: say items may cost 14 a box"
    return f"{so_far} of {money(found.target, currency)}: {_left(found.left, currency)}"


def _left(left: Decimal, currency: str) -> str:
    return f"{money(abs(left), currency)} {'left' if left >= 0 else 'too much'}"


def grams(found: Contents) -> str:
    """Say what the items weigh and what the mailer still holds; "" where no mailer is known."""
    if found.grams_left is None:
        return ""
    whole = weight(found.grams + found.grams_left)
    rest = f"{weight(abs(found.grams_left))} {'left' if found.grams_left >= 0 else 'too much'}"
    return f"{weight(found.grams)} of {whole}: {rest}"


def room(found: Contents, too_long: Sequence[str]) -> str:
    """Say what room is left in the mailer by volume, and what is longer than it."""
    if found.volume_left is None:
        return ""
    left = _litres(abs(found.volume_left))
    rest = f"{left} litres {'left' if found.volume_left >= 0 else 'too much'}"
    long = f"; longer than the mailer: {_names(too_long)}" if too_long else ""
    return f"By volume {rest} (no proof that it packs){long}"


def main(item: str, example: str) -> str:
    """Name the item that stands out, or how to say which does; "" for a box without items."""
    if item:
        return f"Main item: {name(item)}"
    return f"No main item: say {name(example)} is the main item" if example else ""


def printed(card: str, packaging: str, together: bool, due: date | None, today: date) -> str:
    """Say how far card and packaging are; `together`: one stage does both."""
    states = [f"card {card}"] if card else []
    if packaging and not together:
        states.append(f"packaging {packaging}")
    if together and card:
        states = [f"card and packaging {card}"]
    by = f", due {day(due, today)}" if due and "open" in (card, packaging) else ""
    text = ", ".join(states) + by
    return text[:1].upper() + text[1:]


def unknown(costs: Sequence[str], weights: Sequence[str], sizes: Sequence[str]) -> tuple[str, ...]:
    """Name the items of which no cost, weight or size is known."""
    measured = (
        (f"No weight or size: {_names(weights)}",)
        if weights and list(weights) == list(sizes)
        else (
            f"No weight: {_names(weights)}" if weights else "",
            f"No size: {_names(sizes)}" if sizes else "",
        )
    )
    two = "; ".join(filter(None, measured))
    return (f"No cost: {_names(costs)}" if costs else "", two)


def _names(names: Sequence[str]) -> str:
    shown = [short(one, 24) for one in names[:NAMED]]
    left = len(names) - len(shown)
    return listed([*shown, f"{left} more"] if left else shown)


def in_short(found: Contents, currency: str) -> str:
    """Say in one line how far a box is from its goals: "2 items short, £3.40 left of £14.00"."""
    parts = [f"{plural(found.short, 'item')} short" if found.short else ""]
    if found.target is not None and found.left is not None:
        over = "left of" if found.left >= 0 else "over"
        parts.append(f"{money(abs(found.left), currency)} {over} {money(found.target, currency)}")
    return ", ".join(filter(None, parts))


# --- suggestions ----------------------------------------------------------------------------


def suggested(box: str, theme: str, today: date) -> str:
    """The heading of what could go into a box."""
    what = f": {short(theme, THEME)}" if theme else ""
    return f"For {box_name(box, today)}{what}"


def of_idea(number: int, idea: Idea, found: Suggestion, month: str) -> str:
    """Write an idea that could go into a box, with why."""
    why = [
        f"for {month}" if found.in_month else "",
        _about(found.words),
        plural(idea.votes, "vote") if idea.votes else "",
    ]
    source = f"idea of {short(idea.source, 20)}" if idea.source else "your idea"
    return f"{number}. {short(idea.text, 50)} ({', '.join(filter(None, (source, *why)))})"


def of_offer(number: int, offer: Offer, supplier: str, currency: str, found: Suggestion) -> str:
    """Write an offer that could go into a box, with its price and why."""
    price = "no price" if offer.price is None else money(offer.price, offer.currency or currency)
    why = _about(found.words) or "fits what is left"
    return f"{number}. {short(offer.name, 40)}, {price} from {name(supplier)} ({why})"


def _about(words: Iterable[str]) -> str:
    shown = tuple(words)[:WORDS]
    return f"about {listed(shown)}" if shown else ""


def more(left: int) -> str:
    """Say how many suggestions are not shown."""
    return f"and {left} more that fit less" if left > 0 else ""


def others(count: int) -> str:
    """Point to offers of suppliers that supply nothing in the plan yet."""
    if not count:
        return ""
    fits = "1 more offer fits" if count == 1 else f"{count} more offers fit"
    return f"{fits}, of suppliers not in the plan yet."


def nothing_fits(box: str, theme: str, today: date) -> str:
    """Say that nothing could be suggested, and what would change that."""
    where = box_name(box, today)
    if not theme:
        return (
            f"Nothing waits for {where}, and it has no theme to look for. "
            f"For example: {where} theme rain and roots"
        )
    return (
        f"No idea or offer fits {where} yet. Catch one, for example: Idea: a tin mug for "
        f"{where.split(',')[0].split(' ')[0]}. Or send a supplier's price list (CSV or XLSX)."
    )
