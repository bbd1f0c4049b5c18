"""What is said of counts of subscribers, of those who join and leave, and of what is expected.

Knows: figures and how they are written. Must not know: how they follow from each other. Invariants:
a range is told with how often it holds; what was learned says from what; a refusal says what was
read, what is wrong and one example that works.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import MONTHS, box_name, day, plural
from assistant.planning.model import Cohort, Count
from assistant.planning.numbers.churn import Changing, Constant, Curve, Lifetime, stays
from assistant.planning.numbers.flows import Flow
from assistant.planning.numbers.subscribers import Expected

JUMP = 0.5  # from one count to the next, above which a count is doubted
NINE_IN_TEN = "nine times in ten"
TITLE = "Subscribers expected"
FLOW = "Joins and churn"
NOT_COUNTED = "Not counted yet. For example: we are 420"
KNOWN = {"told": "as told", "cohorts": "from your cohorts", "": ""}
UNKNOWN = {
    "joins": "Joins are not known: say 30 join a month",
    "churn": "Churn is not known: say churn 4%",
}


# --- counts ---------------------------------------------------------------------------------


def noted(count: Count, before: Count | None, today: date) -> str:
    """Say that a count was noted, and how it differs from the one before, which may be of the same
    day."""
    when = "" if count.on == today else f" on {day(count.on, today)}"
    said = f"Noted: {plural(count.subscribers, 'subscriber')}{when}"
    if before is None:
        return f"{said}."
    if before.on == count.on:
        return f"{said}, was {before.subscribers:,}."
    return f"{said}, {_than(count, before, today)}."


def _than(count: Count, before: Count, today: date) -> str:
    more = count.subscribers - before.subscribers
    since = f"on {day(before.on, today)}"
    if not more:
        return f"as many as {since}"
    return f"{abs(more):,} {'more' if more > 0 else 'fewer'} than {since}"


def jump(count: Count, before: Count | None) -> str:
    """Doubt a count that differs by more than half from the one before; "" where it does not."""
    if before is None:
        return ""
    share = (count.subscribers - before.subscribers) / before.subscribers
    if abs(share) <= JUMP:
        return ""
    way = "up" if share > 0 else "down"
    told = f"That is {abs(share):.0%} {way} from {before.subscribers:,}."
    return f"{told} If it is a slip, take it back."


def counted_already(count: Count, today: date) -> str:
    """Say that this count is known."""
    when = "today" if count.on == today else f"on {day(count.on, today)}"
    return f"As I have it already: {plural(count.subscribers, 'subscriber')} {when}."


def no_count(number: int, least: int, most: int) -> str:
    """Refuse a number that no count can be."""
    return (
        f"I read {number:,} subscribers, but a count is from {least:,} to {most:,}. "
        "Nothing was changed. For example: we are 420"
    )


def not_yet(on: date, today: date) -> str:
    """Refuse a count of a day to come."""
    return (
        f"I read a count on {day(on, today)}, but that day is still to come. "
        "Nothing was changed. For example: we had 402 on 1 October"
    )


# --- joins and churn ------------------------------------------------------------------------


def percent(share: float | Decimal) -> str:
    """Write a percentage, at most one digit after the point: "4%", "3.9%"."""
    text = f"{float(share):.2f}" if 0 < float(share) < 0.1 else f"{float(share):.1f}"
    return f"{text.removesuffix('.0')}%"


def number(many: float) -> str:
    """Write a number that may have a part: "30", "12.5"."""
    return f"{many:,.0f}" if many >= 20 else f"{many:,.1f}".removesuffix(".0")


def flow_set(facts: Iterable[str]) -> str:
    """Say what holds of joins and churn now."""
    return f"Noted: {'; '.join(facts)}."


def flow_stands(facts: Iterable[str]) -> str:
    """Say that this was known."""
    return f"As I have it already: {'; '.join(facts)}."


def told_joins(many: Decimal, was: Decimal | None) -> str:
    """Write joins as told."""
    text = f"{number(float(many))} join a month"
    return text if was is None or was == many else f"{text}, was {number(float(was))}"


def told_churn(share: Decimal, was: Decimal | None) -> str:
    """Write churn as told."""
    text = f"churn {percent(share)} a month"
    return text if was is None or was == share else f"{text}, was {percent(was)}"


def learned(facts: Sequence[str]) -> str:
    """Say that joins or churn go by the counts again."""
    return f"What you told of {' and '.join(facts)} is forgotten."


def never_told(facts: Sequence[str]) -> str:
    """Say that nothing was told of joins or churn."""
    return f"You told me nothing of {' and '.join(facts)}, so I go by the counts already."


def no_churn(share: Decimal) -> str:
    """Refuse a churn that cannot be."""
    what = "nobody can lose more than all" if share > 100 else "all of them would be gone"
    why = "churn cannot be below zero" if share < 0 else what
    return (
        f"I read a churn of {share.normalize():f}% a month, but {why}. "
        "Nothing was changed. For example: churn 4%"
    )


def no_joins(many: Decimal, most: int) -> str:
    """Refuse a number of joins that cannot be."""
    return (
        f"I read {many:,} joins a month, but they are from 0 to {most:,}. "
        "Nothing was changed. For example: 30 join a month"
    )


def joins_line(flow: Flow) -> str:
    """Say how many join, and how that is known."""
    if flow.net is not None:
        more = flow.net.change
        word = "more" if more >= 0 else "fewer"
        return f"{number(abs(more))} {word} each month, {_from_counts(flow)}"
    if not flow.joins_from:
        return UNKNOWN["joins"]
    how = _from_counts(flow) if flow.joins_from == "counts" else KNOWN[flow.joins_from]
    return f"{number(flow.way.joins)} join a month, {how}"


def churn_line(flow: Flow) -> str:
    """Say how many leave, and how that is known; "" where only the net change is."""
    if flow.net is not None:
        return ""
    if not flow.churn_from:
        return UNKNOWN["churn"]
    how = _from_counts(flow) if flow.churn_from == "counts" else KNOWN[flow.churn_from]
    return f"{_churn(flow.way.curve)}, {how}"


def _from_counts(flow: Flow) -> str:
    return f"from {plural(flow.counts, 'count')}"


def _churn(curve: Curve) -> str:
    if isinstance(curve, Constant):
        return f"{percent(curve.churn * 100)} leave a month"
    first, later = ((1 - stays(curve, 1, age)) * 100 for age in (0, 12))
    return f"{percent(first)} leave in their first month, {percent(later)} after a year"


def beyond(flow: Flow) -> str:
    """Say that counts and what was told do not go together; "" where they do."""
    if not flow.beyond:
        return ""
    if flow.churn_from == "counts":
        return "Your counts rose by more than join: no churn is reckoned."
    return "Your counts fell by more than leave: no joins are reckoned."


def lifetime(found: Lifetime | None) -> str:
    """Say how long a newcomer stays; "" where nobody leaves."""
    if found is None:
        return ""
    half = f"half leave within {found.median}"
    if found.mean is None:
        return f"Of newcomers {half} months"
    mean = number(found.mean)
    return f"One stays {mean} month{'' if mean == '1' else 's'} on average, {half}"


def after_a_year(curve: Curve) -> str:
    """Say how many newcomers are there after a year."""
    return f"Of 100 newcomers {stays(curve, 12) * 100:.0f} are there after a year"


def last_counts(counts: Sequence[Count], today: date) -> str:
    """Name the last counts, the newest first."""
    if not counts:
        return NOT_COUNTED
    told = "; ".join(f"{one.subscribers:,} {day(one.on, today)}" for one in counts)
    return f"Counted: {told}"


def range_from(flow: Flow) -> str:
    """Say what the ranges of a net change rest on; "" where there is none."""
    if flow.net is None:
        return ""
    if flow.counts < 4:
        return "From few counts the range is half a guess; more counts narrow it."
    return "For joins and churn apart, tell me one: 30 join a month"


# --- cohorts --------------------------------------------------------------------------------


def cohort(one: Cohort, today: date) -> str:
    """Say what was noted of those who joined in a month."""
    year, month = one.joined.split("-")
    lately = f"{today.year - 1}-{today.month:02}" < one.joined
    joined = f"{MONTHS[int(month) - 1]}{'' if lately else f' {year}'}"
    when = "" if one.on == today else f" on {day(one.on, today)}"
    return f"Noted: of {one.number:,} who joined in {joined} {one.left:,} are left{when}."


def cohort_known(one: Cohort) -> str:
    """Say that a cohort was told already."""
    return f"As I have it already: {one.left:,} of {one.number:,} are left."


def no_cohort(number: int, left: int) -> str:
    """Refuse a cohort of which more are left than joined, or nobody joined."""
    why = f"{left:,} cannot be left of {number:,}" if number else "nobody joined then"
    return f"I read a month's joiners, but {why}. Nothing was changed. {COHORT_EXAMPLE}"


COHORT_EXAMPLE = "For example: of 60 who joined in January 41 are left"


def came_back(before: Cohort, today: date) -> str:
    """Refuse a cohort that grew."""
    seen = f"on {day(before.on, today)} {before.left:,} of {before.number:,} were left"
    return f"I read more than that, but {seen}. Nothing was changed. {COHORT_EXAMPLE}"


def told_holds(share: Decimal) -> str:
    """Say that churn as told holds against what the cohorts show."""
    return f"Your own {percent(share)} a month holds; to go by the cohorts, learn the churn."


def by_age(curve: Curve, cohorts: int) -> str:
    """Say whether the cohorts show that newcomers leave sooner."""
    if not cohorts:
        return ""
    months = plural(cohorts, "month's joiners", "months' joiners")
    if isinstance(curve, Changing):
        return f"Newcomers leave sooner: {months} show it"
    return f"{months} show no churn that changes with age"


# --- what is expected -----------------------------------------------------------------------


def between(one: Expected) -> str:
    """Write the range, "" where there is none."""
    return "" if one.low == one.high else f"between {one.low:,} and {one.high:,}"


def row(one: Expected, today: date) -> str:
    """Write a box's number on one line of a list."""
    return ", ".join(filter(None, (f"{box_name(one.box, today)}: {one.mean:,.0f}", between(one))))


def expected(one: Expected, today: date) -> str:
    """Write a box's number with its range."""
    parts = row(one, today), NINE_IN_TEN if between(one) else ""
    return f"{', '.join(filter(None, parts))}."


def ranges(shown: Sequence[Expected]) -> str:
    """Say how often the ranges hold, "" where there are none."""
    return f"Each range holds {NINE_IN_TEN}." if any(map(between, shown)) else ""


def title(one: Expected, today: date) -> str:
    """The title of a box's number."""
    return f"{box_name(one.box, today)}: {one.mean:,.0f} expected"


def parts(one: Expected, flow: Flow, today: date) -> tuple[str, ...]:
    """Explain a box's number, a line for each part that it is made of."""
    held = between(one)
    return (
        f"{held[:1].upper()}{held[1:]}, {NINE_IN_TEN}" if held else "",
        f"{one.counted:,} counted {day(one.since, today)}" if one.counted else NOT_COUNTED,
        _part(one.net, "by net change" if one.net >= 0 else "by net loss", joins_line(flow)),
        _part(one.joins, "join and stay", joins_line(flow)),
        _part(-one.leavers, "leave", churn_line(flow)),
        _part(-one.ending, "end, gifts and prepaid terms"),
        _part(-one.skips, "skip it"),
        _part(-one.pauses, "pause"),
        _part(one.one_offs, "sold singly"),
        _unknown(flow),
        f"Counted finally {day(one.on, today)}" if one.on > today else "",
    )


def _part(many: float, what: str, why: str = "") -> str:
    if not round(many):
        return ""
    sign = "+" if many > 0 else "\u2212"
    return f"{sign} {abs(many):,.0f} {what}{f' ({why})' if why else ''}"


def _unknown(flow: Flow) -> str:
    """What is not known of joins and churn, in one line."""
    if flow.net is not None or (flow.joins_from and flow.churn_from):
        return ""
    if flow.joins_from:
        return UNKNOWN["churn"]
    return UNKNOWN["joins"] if flow.churn_from else "Joins and churn: say 30 join a month, churn 4%"


def foot(flow: Flow) -> str:
    """Say under a list how joins and churn are known, in one line."""
    if not (flow.joins_from or flow.churn_from):
        return "Joins and churn are not known: say 30 join a month; churn 4%"
    if flow.joins_from == flow.churn_from == "told" and isinstance(flow.way.curve, Constant):
        joins, churn = number(flow.way.joins), percent(flow.way.curve.churn * 100)
        return f"{joins} join and {churn} leave a month, as told"
    return ". ".join(filter(None, (joins_line(flow), churn_line(flow))))
