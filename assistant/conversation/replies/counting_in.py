"""What is said of counting in, and of claims.

Knows: what is to be counted in, what is lacking. Must not know: which request it was, how a page
is laid out (sheets/). Invariants: at most nine lines on a phone; the number to look at stands
beside the number that is too many; the note to a supplier says nothing of the box or of her books;
it is always she who sends it.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.orders import price
from assistant.conversation.replies.plain import box_name, day, full_day, money, plural, short
from assistant.conversation.replies.plan import name
from assistant.planning.model import Claim, Item
from assistant.planning.month.counting_in import Coming
from assistant.planning.month.progress import Progress
from assistant.planning.month.sampling import Plan, passes
from assistant.planning.month.shortages import Shortage

SHOWN = 6  # goods on one screen
PARTY = 30  # characters of a supplier's name
NOTE_NAME = 60  # characters of a name in a note
ONE_IN = Decimal(10)  # percent bad at which it is told how likely that is noticed

TO_PRINT = "To print, with room to write."
TO_PASTE = "To paste into a letter or a chat. You send it: I never do."
NOTHING_COMING = "Nothing is on its way: nothing is ordered and not counted in yet."
REPLACED = "A question mark stands for what the typeface lacks."


def of(item: Item, today: date) -> str:
    """Name an item with its box: "field notebook (March)"."""
    return f"{name(item.name)} ({box_name(item.box, today)})"


# --- the count-in sheet ---------------------------------------------------------------------


def about(item: str, supplier: str, box: str, today: date) -> str:
    """Say what a sheet is of: "field notebook", "from Aldermoor", "for March"."""
    parts = (
        name(item) if item else "",
        f"from {short(supplier, PARTY)}" if supplier else "",
        f"for {box_name(box, today)}" if box else "",
    )
    return " ".join(filter(None, parts)) or "all that is on its way"


def title(what: str) -> str:
    """The heading of a sheet."""
    return f"Count in: {what}"


def one(found: Coming, supplier: str, today: date) -> tuple[str, ...]:
    """Write the sheet of one item that fits a phone."""
    plan = found.plan
    return (
        _to_come(found, supplier, today),
        _cartons(found),
        how_many(plan) if plan else f"Not known how many. Say: ordered 460 {name(found.name)}",
        notices(plan) if plan else "",
        f"Look for: {', '.join(found.look.faults)}",
        f"One is too many: {found.look.never}" if found.look.never else "",
        _needs(found, today),
        f"Then say: {_example(found)}",
    )


def _to_come(found: Coming, supplier: str, today: date) -> str:
    pieces = f"{found.pieces:,} pieces" if found.pieces else "Pieces"
    more = f" more, after {found.came:,} good ones," if found.came else ""
    by = f" from {short(supplier, PARTY)}" if supplier else ""
    due = f", expected {day(found.expected, today)}" if found.expected else ""
    return f"{pieces}{more}{by}{due}"


def _cartons(found: Coming) -> str:
    if found.cartons is None or found.open is None:
        return ""
    boxes = "carton" if found.cartons == 1 else "cartons"
    return f"{found.cartons:,} {boxes} of {found.case:,}: open {found.open:,}, from all over"


def how_many(plan: Plan) -> str:
    """Say how many to look at, and how many bad ones are too many."""
    look = f"all {plan.look:,}" if plan.all else f"{plan.look:,}"
    bad = "1 bad one is" if plan.too_many == 1 else f"{plan.too_many} bad ones are"
    return f"Look at {look}: {bad} too many"


def notices(plan: Plan) -> str:
    """Say how likely it is noticed that one piece in ten is bad; "" where all are looked at."""
    if plan.all:
        return ""
    share = round(100 * (1 - passes(plan, ONE_IN)))
    return f"(1 in 10 bad is noticed {share} times in 100)"


def _needs(found: Coming, today: date) -> str:
    if found.needed is None:
        return ""
    return f"{box_name(found.box, today)} needs {plural(found.needed, 'good one')}"


def _example(found: Coming) -> str:
    pieces = found.pieces or 460
    return f"{pieces} {name(found.name)} came, {'1 damaged' if pieces > 1 else 'none damaged'}"


def several(found: Sequence[Coming], today: date) -> tuple[str, ...]:
    """Write the sheet of several items, a line or two each."""
    shown = [_row(number, row, today) for number, row in enumerate(found[:SHOWN], 1)]
    more = len(found) - SHOWN
    return (
        *shown,
        f"and {more} more, all of them as a page" if more > 0 else "",
        "What to look for: on the page, or touch one",
    )


def _row(number: int, found: Coming, today: date) -> str:
    pieces = f"{found.pieces:,} " if found.pieces else ""
    due = f", {day(found.expected, today)}" if found.expected else ""
    what = f"{number}. {pieces}{name(found.name)} ({box_name(found.box, today)}){due}"
    plan = found.plan
    if plan is None:
        return f"{what}: not known how many"
    look = f"all {plan.look:,}" if plan.all else f"{plan.look:,}"
    return f"{what}: look at {look}, {plan.too_many} bad too many"


def nothing_coming(what: str) -> str:
    """Say that nothing is on its way of a supplier or for a box."""
    return f"Nothing {what} is on its way: nothing is ordered and not counted in yet."


def not_coming(item: Item, found: Progress, today: date) -> str:
    """Say why there is nothing to count in of an item."""
    what = of(item, today)
    if found.state == "packed":
        return f"{what} is packed already."
    if found.state == "checked":
        return f"{what} was counted and checked: {plural(found.good, 'good one')}."
    if found.is_ordered:
        return f"All of {what} came: {plural(found.good, 'good one')}."
    return f"{what} is not ordered yet, as I have it. If it is, say: ordered 460 {name(item.name)}"


# --- a claim --------------------------------------------------------------------------------


def claimed(item: Item, claim: Claim, old: Claim | None, today: date) -> str:
    """Say what is claimed: "Claim kept for field notebook (March): 48 short, 6 damaged."; `old` is
    the claim that was open before."""
    same = old is not None and (old.short, old.damaged) == (claim.short, claim.damaged)
    told = "Claimed again" if same else "Claim changed" if old is not None else "Claim kept"
    return f"{told} for {of(item, today)}: {lacking(claim.short, claim.damaged)}."


def lacking(short_of: int, damaged: int) -> str:
    """Say what is lacking: "48 short, 6 damaged"."""
    parts = (f"{short_of:,} short" if short_of else "", f"{damaged:,} damaged" if damaged else "")
    return ", ".join(filter(None, parts))


def claimed_already(item: Item, claim: Claim, today: date) -> str:
    """Say that the same was claimed before."""
    on = f" {day(claim.on, today)}" if claim.on else ""
    return f"Claimed{on}: {of(item, today)}, {lacking(claim.short, claim.damaged)}."


def photos(claim: Claim) -> str:
    """Remind of the photographs that a note speaks of."""
    return f"Attach photos of the {plural(claim.damaged, 'damaged one')}." if claim.damaged else ""


def follow_up(claim: Claim, today: date) -> str:
    """Say when it is asked again."""
    if claim.follow_up is None:
        return ""
    return f"If nothing comes of it: follow up {day(claim.follow_up, today)}. I will nudge you."


def means(item: Item, found: Shortage, today: date) -> str:
    """Say what it means for the box: enough, or how many it lacks and by when."""
    box = box_name(item.box, today)
    if found.needed is None:
        return f"How many {box} needs is not known. Say, for example: we are 420"
    if not found.lacks:
        spare = f", {found.spare:,} to spare" if found.spare else ""
        return f"{box} has enough: {found.good:,} good ones, {found.needed:,} needed{spare}."
    by = f" by {day(found.by, today)}" if found.by is not None and found.by >= today else " now"
    return f"{box} is {found.lacks:,} good ones short: {found.needed:,} needed{by}."


def perhaps_coming(found: Shortage, in_parts: bool) -> str:
    """Say that what is short may only be on its way."""
    if not found.short or not in_parts:
        return ""
    return f"If the {found.short:,} are still on their way, claim the damaged only, or undo."


def none_damaged(item: Item, found: Shortage, today: date) -> str:
    """Refuse a claim for damage where there is none."""
    short_of = f"; {found.short:,} are short" if found.short else ""
    return f"No piece of {of(item, today)} is damaged, as counted{short_of}."


def before(supplier: str, trouble: int, of_all: int) -> str:
    """Say how often a supplier's deliveries were short or broken before."""
    if not trouble:
        return ""
    who = short(supplier, PARTY)
    return f"Not the first from {who}: {trouble} of {of_all} before were short or damaged."


def nothing_counted(item: Item, today: date) -> str:
    """Refuse a claim while nothing was counted."""
    return (
        f"Nothing of {of(item, today)} is counted yet, so I cannot say what is missing. "
        f"When it is, say: 412 of 460 {name(item.name)} came, 6 bent"
    )


def nothing_lacking(item: Item, found: Shortage, today: date) -> str:
    """Refuse a claim where nothing is short or broken."""
    of_all = f"{found.good:,} of {found.ordered:,}" if found.ordered else f"all {found.good:,}"
    return (
        f"Nothing of {of(item, today)} is short or damaged: {of_all} came good. "
        f"If some are damaged, say: checked {name(item.name)}, 6 damaged"
    )


def met_already(item: Item, claim: Claim, today: date) -> str:
    """Say that a claim was settled, and that nothing more is lacking."""
    on = f" {day(claim.settled, today)}" if claim.settled else ""
    how = claim.how or "settled"
    return f"The claim for {of(item, today)} was {how}{on}; there is nothing more to claim."


def nothing_from(supplier: str) -> str:
    """Refuse a claim on a supplier of whom nothing is short or broken."""
    return (
        f"Nothing from {short(supplier, PARTY)} is short or damaged, as counted so far. "
        "When something is, say: 412 of 460 notebooks came, 6 bent"
    )


def several_from(supplier: str, number: int) -> str:
    """Ask for which item of a supplier to claim."""
    return f"{number} things from {short(supplier, PARTY)} are short or damaged. Which?"


def no_claim_on(supplier: str) -> str:
    """Say that no claim on a supplier is open."""
    return f"No claim on {short(supplier, PARTY)} is open."


def several_claims(supplier: str, number: int) -> str:
    """Ask which claim was made good."""
    return f"{number} claims on {short(supplier, PARTY)} are open. Which was made good?"


def no_supplier(item: Item, today: date) -> str:
    """Refuse a claim on nobody."""
    return f"{of(item, today)} has no supplier to claim from. Say: {name(item.name)} from Aldermoor"


def no_claim(item: Item, today: date) -> str:
    """Say that there is no claim to be met."""
    return f"No claim for {of(item, today)} is kept. To make one: claim for {name(item.name)}"


def met(item: Item, claim: Claim, supplier: str, today: date) -> str:
    """Say that a claim was made good."""
    how = claim.how or "settled"
    what = lacking(claim.short, claim.damaged)
    return f"{short(supplier, PARTY) or 'Claim'}: {of(item, today)} {how} ({what})."


def count_them(item: Item, claim: Claim) -> str:
    """Ask for the count of what was sent in its place."""
    number = claim.short + claim.damaged
    return f"When they are here, say: {number} {name(item.name)} came"


# --- the note to the supplier ---------------------------------------------------------------


ANSWER = "Please tell us within three working days which it will be."
KEEP = "We keep the damaged pieces and the cartons for you until then."


def note(
    item: Item,
    found: Shortage,
    *,
    supplier: str,
    shop: str,
    reference: str,
    days: Sequence[date],
    worth: tuple[Decimal, Decimal, str] | None,
    by: date | None,
) -> str:
    """Write the claim to a supplier as plain text: what was ordered and came, what is asked. `by`
    is the day on which good pieces are needed, None for as soon as can be; `worth` the price of a
    piece, what all that is lacking comes to, and the currency."""
    what = short(item.name, NOTE_NAME)
    order = f"Order {reference}, " if reference else ""
    lines = (
        f"Subject: {order.lower() if order else ''}{what}: {lacking(found.short, found.broken)}",
        "",
        f"Dear {short(supplier, NOTE_NAME)},",
        "",
        f"{order}{what}:" if order else f"{what}:",
        *_counts(found, days),
        "",
        *_asked(found, worth, by),
        ANSWER,
        KEEP if found.broken else "",
        "",
        "Kind regards",
        short(shop, NOTE_NAME),
    )
    return "\n".join(_tidied(lines))


def _counts(found: Shortage, days: Sequence[date]) -> Iterable[str]:
    if found.ordered is not None:
        yield f"- ordered: {found.ordered:,}"
    left = found.ordered is not None and found.came < found.ordered and not found.short
    yield f"- came{' so far' if left else ''}: {found.came:,}{_on(days)}"
    if found.short:
        yield f"- short: {found.short:,}"
    if found.broken:
        yield f"- damaged: {found.broken:,} (photographs attached)"


def _on(days: Sequence[date]) -> str:
    return f", on {', '.join(full_day(one) for one in days)}" if days else ""


def _asked(
    found: Shortage, worth: tuple[Decimal, Decimal, str] | None, by: date | None
) -> Iterable[str]:
    when = f"in our hands by {full_day(by)}" if by is not None else "as soon as you can"
    yield f"Please send {plural(found.missing, 'good piece')}, free of charge, {when}."
    if worth is None:
        yield "If that cannot be, please credit them."
    else:
        each, total, currency = worth
        sum_ = money(total, currency)
        at = f"{found.missing:,} at {price(each, currency)}, " if found.missing > 1 else ""
        yield f"If that cannot be, please credit them: {at}{sum_}."


def _tidied(lines: Iterable[str]) -> list[str]:
    """Lines without two blank ones running."""
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return kept
