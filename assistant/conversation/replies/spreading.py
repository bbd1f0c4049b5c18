"""What is said of ways to spread the recurring types over the boxes, and what they change.

Knows: where a type comes, and how that is written. Must not know: how a year is spread. Invariants:
that no more even year exists is said only where it was proved, else how far off it can be at most;
each reply fits a phone.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from assistant.conversation.replies.plain import MONTHS, listed, money, plural, short

LINES = 8  # types that are told a line each
WITH_FORMS = 4  # types up to which the forms are told, too
NAME = 24
FORM = 16
WHOLE = "Box by box, with all forms:"
STALE = "The plan or the wishes changed since that was worked out; so here it is anew."
NOTHING_PROPOSED = "No spread is worked out yet. Say: spread the types"
NOTHING_TO_DO = "The plan stands so already: nothing had to change."


def title(over: str, option: int, options: int) -> str:
    """The title of a way to spread the types."""
    return f"Types over {over}" + (f", way {option} of {options}" if options > 1 else "")


def stretch(boxes: Sequence[str]) -> str:
    """Write from which box to which: "2027", "Dec 2026 to Nov 2027"."""
    years = {box[:4] for box in boxes}
    whole = boxes[0][5:7] <= "03" and boxes[-1][5:7] >= "10"
    if len(years) == 1 and whole:
        return boxes[0][:4]
    return f"{_box(boxes[0])} {boxes[0][:4]} to {_box(boxes[-1])} {boxes[-1][:4]}"


def _box(box: str) -> str:
    """A box in short: "Mar", "Mar b" for the second of a month."""
    return f"{MONTHS[int(box[5:7]) - 1][:3]} {box[7:]}".rstrip()


def where(returns: Sequence[tuple[str, str]], boxes: int, forms: bool) -> str:
    """Write in which boxes a type comes: (box, form) each."""
    if len(returns) == boxes and not forms:
        return "every box"
    years = dict.fromkeys(box[:4] for box, _ in returns)
    return "; ".join(
        (f"{year}: " if len(years) > 1 else "")
        + (", " if forms else " ").join(
            f"{_box(box)} {short(form, FORM)}".rstrip() if forms else _box(box)
            for box, form in returns
            if box[:4] == year
        )
        for year in years
    )


def apart(gaps: Sequence[int]) -> str:
    """Write how far apart the returns of a type are."""
    if not gaps or max(gaps) <= 1:
        return ""
    if min(gaps) == max(gaps):
        return f"every {gaps[0]} boxes"
    return f"{min(gaps)} to {max(gaps)} boxes apart"


def type_line(name: str, where: str, apart: str) -> str:
    """One type: where it comes and how far apart."""
    return f"{short(name, NAME)}: {where}" + (f", {apart}" if apart else "")


def more_types(number: int) -> str:
    """Say how many types are not told a line each."""
    return f"and {plural(number, 'type')} more, in the file below"


def evenness(off: int, proved: bool, first: bool) -> str:
    """Say how even a way is, in percent of the most even; that none is more even only where it was
    proved. `first`: it is the best that was found, not one chosen to differ from it."""
    if off or not proved:
        return f"At most {max(off, 1)} % off the most even there could be."
    return "No more even year exists." if first else "This, too, is as even as can be."


def running(number: int) -> str:
    """Say how often a type comes in two boxes running."""
    times = "Once" if number == 1 else f"{number} times" if number > 2 else "Twice"
    return f"{times} a type comes in two boxes running: the wishes leave no other way."


def costs(low: Decimal, high: Decimal, band: Decimal, currency: str) -> str:
    """Say what the recurring types cost in the cheapest box and in the dearest."""
    if not high:
        return ""
    if low == high:
        return f"The types cost {money(low, currency)} in every box."
    told = f" (levelled to {money(band, currency)})" if band else ""
    return f"The types cost {money(low, currency)} to {money(high, currency)} a box{told}."


def forms_again(names: Sequence[str]) -> str:
    """Say that forms come again too early, and what would help."""
    if not names:
        return ""
    early = "repeats a form early: its" if len(names) == 1 else "repeat a form early: their"
    return f"{_at_start(listed(list(names)))} {early} forms are too few."


def fits(suited: int, of: int) -> str:
    """Say how many returns go with the theme of their box."""
    return f"{suited} of {of} suit the theme of their box." if of else ""


def against_present(stay: int, move: int, new: int, out: int) -> str:
    """Say what a way changes in the present plan."""
    parts = [
        f"{plural(number, 'item')} {verb}"
        for number, verb in ((move, "move" if move > 1 else "moves"),)
        if number
    ]
    parts += [f"{number} {word}" for number, word in ((new, "new"), (stay, _stay(stay))) if number]
    if out:
        parts.append(f"{out} taken out")
    return f"Against the plan: {', '.join(parts)}." if parts else ""


def _stay(number: int) -> str:
    return "stays" if number == 1 else "stay"


def _at_start(text: str) -> str:
    return text[:1].upper() + text[1:]


def whole(boxes: Mapping[str, Sequence[tuple[str, str]]]) -> str:
    """Write a way whole, a box a line: box id -> (type, form) each."""
    lines = (
        f"{box}  {', '.join(f'{name} ({form})' if form else name for name, form in inside)}"
        for box, inside in boxes.items()
    )
    return "\n".join(line.rstrip() for line in lines)


def used(over: str, new: int, moved: int, stayed: int, out: int) -> str:
    """Say that a way is in the plan now."""
    parts = [f"{plural(new, 'new item')}" if new else "", f"{moved} moved" if moved else ""]
    parts += [f"{stayed} as before" if stayed else "", f"{out} taken out" if out else ""]
    return f"The types are in the plan over {over}: {', '.join(filter(None, parts))}."


def no_such_way(option: int, options: int) -> str:
    """Refuse a way that was not proposed."""
    ways = "one way was" if options == 1 else f"{options} ways were"
    return f"I read way {option}, but {ways} worked out. For example: show spread 1"


def year_is_over(year: int, example: str) -> str:
    """Refuse to spread types over a year that is past or too far."""
    return f"I read {year}, but can spread types over this year and the next nine only. {example}"


def for_example(says: str) -> str:
    """An example that works."""
    return f"For example: {says}"
