"""Subscribers: counted, who joins and leaves, who is not as the others, how many are expected.

Knows: which records a request changes and when it must be refused. Must not know: how many are
expected (numbers/subscribers), how a sentence is written. Invariants: the shop's number of
subscribers is that of its newest count; a number that cannot be meant changes nothing; every reply
to a change shows what is expected because of it.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.handle.plan import shipped_already
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import (
    CountSubscribers,
    DropGroup,
    NoteCohort,
    NoteGroup,
    SetFlow,
    ShowCounts,
)
from assistant.conversation.replies import counting as say
from assistant.conversation.replies import groups as say_groups
from assistant.conversation.replies.plain import box_name
from assistant.conversation.sentences import counting as says
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Books, Change, Cohort, Count, Group, Put, Remove, Shop
from assistant.planning.numbers.churn import Constant, lifetime
from assistant.planning.numbers.flows import newest
from assistant.planning.numbers.subscribers import (
    Expected,
    count_of,
    expected,
    flow_of,
    forecast,
    group_id,
    groups_ahead,
)

LEAST, MOST = 1, 1_000_000  # subscribers of a count
MOST_JOINS = 100_000  # a month
ROWS = 6  # boxes of a list
SHOWN = 7  # groups of a list
COUNTS = 3  # last counts that are named


# --- counts ---------------------------------------------------------------------------------


def count(shop: Shop, request: CountSubscribers, asked: Asked) -> Outcome:
    """Keep a count; the newest is the shop's number of subscribers."""
    if not LEAST <= request.number <= MOST:
        return answer(asked, (say.no_count(request.number, LEAST, MOST),))
    on = request.on or asked.today
    if on > asked.today:
        return answer(asked, (say.not_yet(on, asked.today),))
    new = Count(on.isoformat(), on, request.number)
    profile = profile_of(shop)
    known = find(shop.counts, new.id) == new
    if known and (
        new != newest(shop.counts, asked.today) or profile.subscribers == new.subscribers
    ):
        text = say.counted_already(new, asked.today)
        return answer(asked, (text,), (_all(),), stands=True)
    changes: list[Change] = [*_present(shop, on, asked.today), Put(new)]
    latest = newest(apply(shop, changes).counts, asked.today) or new
    if latest.subscribers != profile.subscribers:
        changes.append(Put(replace(profile, subscribers=latest.subscribers)))
    after = apply(shop, changes)
    earlier = tuple(one for one in after.counts if one.on < on)
    before = find(shop.counts, new.id) or newest(earlier, asked.today)
    brief = say.noted(new, before, asked.today), say.jump(new, before)
    moved = dates.moves(shop, after, asked.today, silent=True)
    due = dates.after_moves(after, asked.today) if any(moved) else ()
    lines = (*brief, *_ahead(after, asked), *moved)
    return changed(shop, asked, changes, lines, (_all(), *due), brief=brief)


def _present(shop: Shop, on: date, today: date) -> tuple[Change, ...]:
    """Before the first count is one of the past, keep the number that was known as today's."""
    number = profile_of(shop).subscribers
    if shop.counts or on == today or not number:
        return ()
    return (Put(Count(today.isoformat(), today, number)),)


# --- joins and churn ------------------------------------------------------------------------


def set_flow(shop: Shop, request: SetFlow, asked: Asked) -> Outcome:
    """Set joins and churn as told, or go by the counts again."""
    if request.churn is not None and not 0 <= request.churn < 100:
        return answer(asked, (say.no_churn(request.churn),))
    if request.joins is not None and not 0 <= request.joins <= MOST_JOINS:
        return answer(asked, (say.no_joins(request.joins, MOST_JOINS),))
    old = find(shop.books, Books().id) or Books()
    told = {f: v for f in ("joins", "churn") if (v := getattr(request, f)) is not None}
    new = replace(old, **dict.fromkeys(request.learn), **told)
    if new == old:
        return answer(asked, (_flow_known(old, request),), (_flow(), _all()), stands=True)
    facts = tuple(_flow_facts(old, request))
    forgotten = tuple(f for f in request.learn if getattr(old, f) is not None)
    after = apply(shop, (Put(new),))
    known = flow_of(after, asked.today)
    lines = (
        say.flow_set(facts) if facts else "",
        say.learned(forgotten) if forgotten else "",
        *((say.joins_line(known), say.churn_line(known)) if forgotten else ()),
        say.beyond(known),
        say.lifetime(lifetime(known.way.curve)),
        *_ahead(after, asked),
    )
    return changed(shop, asked, (Put(new),), lines, (_flow(), _all()), brief=lines[:2])


def _flow_known(old: Books, request: SetFlow) -> str:
    facts = tuple(_flow_facts(old, request))
    return say.flow_stands(facts) if facts else say.never_told(request.learn)


def _flow_facts(old: Books, request: SetFlow) -> Iterable[str]:
    if request.joins is not None:
        yield say.told_joins(request.joins, old.joins)
    if request.churn is not None:
        yield say.told_churn(request.churn, old.churn)


def note_cohort(shop: Shop, request: NoteCohort, asked: Asked) -> Outcome:
    """Note how many of those who joined in a month are left."""
    on = request.on or asked.today
    if not request.number or not 0 <= request.left <= request.number:
        return answer(asked, (say.no_cohort(request.number, request.left),))
    if on > asked.today or f"{on:%Y-%m}" < request.joined:
        return answer(asked, (say.not_yet(on, asked.today),))
    new = Cohort(f"{request.joined}/{on}", request.joined, request.number, request.left, on)
    if find(shop.cohorts, new.id) == new:
        return answer(asked, (say.cohort_known(new),), (_flow(),), stands=True)
    same = [one for one in shop.cohorts if one.joined == new.joined and one.id != new.id]
    against = (one for one in same if one.on < on and one.left < new.left)
    if (fewer := next(against, None)) is not None:
        return answer(asked, (say.came_back(fewer, asked.today),))
    after = apply(shop, (Put(new),))
    known, told = flow_of(after, asked.today), _told_churn(shop)
    lines = (
        say.cohort(new, asked.today),
        say.told_holds(told) if told is not None else say.churn_line(known),
        *_ahead(after, asked),
    )
    buttons = (_learn("churn"),) if told is not None else (_flow(),)
    return changed(shop, asked, (Put(new),), lines, buttons, brief=lines[:1])


def _told_churn(shop: Shop) -> Decimal | None:
    return shop.books[0].churn if shop.books else None


# --- groups ---------------------------------------------------------------------------------


def note_group(shop: Shop, request: NoteGroup, asked: Asked) -> Outcome:
    """Note a group who are not as the others, in place of one of the same kind and boxes."""
    if not request.number:
        return answer(asked, (say_groups.nobody(),))
    box = request.first or request.last
    ends = request.first if request.group in ("skip", "one-off") else request.last
    if ends and (refusal := shipped_already(shop, asked, ends)):
        return refusal
    counted = count_of(shop, asked.today).subscribers
    if request.group != "one-off" and counted and request.number > counted:
        return answer(asked, (say_groups.too_many(request.number, counted),))
    if request.group == "pause" and request.last and request.last <= request.first:
        return answer(asked, (say_groups.back_before(),))
    new = _group(shop, request)
    old, text = find(shop.groups, new.id), say_groups.group(new, asked.today)
    talk = about(asked, box=box, item="")
    if old == new:
        return answer(asked, (say_groups.group_stands(text),), (_groups(),), talk=talk, stands=True)
    after = apply(shop, (Put(new),))
    term = new.group in ("gift", "prepaid")
    first = say_groups.group_noted(text, say_groups.group(old, asked.today) if old else "")
    unknown = say_groups.none_renews() if term and new.renew is None else ""
    shown = next((one.box for one in _coming(after, asked) if one.box > box), box) if term else box
    lines = (first, unknown, say.expected(expected(after, shown, asked.today), asked.today))
    half = (Button("Half renew", says.group(replace(new, renew=Decimal(50)))),) if unknown else ()
    buttons = (*half, _why(shown, asked), _groups())
    return changed(shop, asked, (Put(new),), lines, buttons, talk=talk, brief=(first, unknown))


def _group(shop: Shop, request: NoteGroup) -> Group:
    new = Group("", request.group, request.number, request.first, request.last, request.renew)
    new = replace(new, id=group_id(new))
    old = find(shop.groups, new.id)
    return replace(new, renew=old.renew) if old and new.renew is None else new


def drop_group(shop: Shop, request: DropGroup, asked: Asked) -> Outcome:
    """Forget a group."""
    known = find(shop.groups, request.id)
    if known is None:
        return answer(asked, (say_groups.gone(),), (_groups(),))
    gone = (Remove("groups", known.id),)
    after = apply(shop, gone)
    lines = (say_groups.group_dropped(say_groups.group(known, asked.today)), *_ahead(after, asked))
    return changed(shop, asked, gone, lines, (_groups(), _all()), brief=lines[:1])


# --- what is expected -----------------------------------------------------------------------


def show(shop: Shop, request: ShowCounts, asked: Asked) -> Outcome:
    """Show how many subscribers are expected, or what that rests on."""
    known = count_of(shop, asked.today).subscribers
    if not known and request.part != "groups":
        return answer(asked, (say.NOT_COUNTED,))
    if request.box:
        return _box(shop, request.box, asked)
    if request.part == "flow":
        return _show_flow(shop, asked)
    return _show_groups(shop, asked) if request.part == "groups" else _list(shop, asked)


def _box(shop: Shop, box: str, asked: Asked) -> Outcome:
    one, known = expected(shop, box, asked.today), flow_of(shop, asked.today)
    talk, buttons = about(asked, box=box, item=""), (_all(), _flow(), _groups())
    title = say.title(one, asked.today)
    return answer(asked, say.parts(one, known, asked.today), buttons, title=title, talk=talk)


def _list(shop: Shop, asked: Asked) -> Outcome:
    """The boxes that come, the last of them too, and what the numbers rest on."""
    coming = _coming(shop, asked)
    shown = coming if len(coming) <= ROWS else (*coming[: ROWS - 1], coming[-1])
    lines = (
        *(say.row(one, asked.today) for one in shown),
        say.ranges(shown),
        say.foot(flow_of(shop, asked.today)),
    )
    buttons = (*(_why(one.box, asked) for one in shown[:2]), _flow(), _groups())
    return answer(asked, lines, buttons, title=say.TITLE)


def _show_flow(shop: Shop, asked: Asked) -> Outcome:
    known = flow_of(shop, asked.today)
    curve = known.way.curve
    last = sorted(shop.counts, key=lambda one: one.on, reverse=True)[:COUNTS]
    told = _told_churn(shop)
    lines = (
        say.joins_line(known),
        say.churn_line(known),
        say.beyond(known),
        say.lifetime(lifetime(curve)) if known.churn_from else "",
        say.after_a_year(curve) if known.churn_from and curve != Constant() else "",
        say.told_holds(told) if told is not None and shop.cohorts else "",
        say.by_age(curve, len({one.joined for one in shop.cohorts})) if told is None else "",
        say.last_counts(last, asked.today),
        say.range_from(known),
    )
    books = shop.books[0] if shop.books else Books()
    facts = tuple(f for f in ("joins", "churn") if getattr(books, f) is not None)
    learn = (_learn(*facts),) if facts and (len(shop.counts) > 1 or shop.cohorts) else ()
    return answer(asked, lines, (*learn, _all(), _groups()), title=say.FLOW)


def _show_groups(shop: Shop, asked: Asked) -> Outcome:
    known = groups_ahead(shop, asked.today)
    if not known:
        return answer(asked, (say_groups.NO_GROUPS,), (_all(),))
    shown = known[:SHOWN]
    lines = [f"{n}. {say_groups.group(one, asked.today)}" for n, one in enumerate(shown, 1)]
    if len(known) > len(shown):
        lines.append(say_groups.and_later(len(known) - len(shown)))
    drops = [Button(f"Drop {n}", says.drop_group(one.id)) for n, one in enumerate(shown, 1)]
    return answer(asked, lines, (*drops, _all()), title=say_groups.GROUPS)


def _coming(shop: Shop, asked: Asked) -> tuple[Expected, ...]:
    """The boxes of the plan that are still to ship; without any, those of the coming months."""
    planned = forecast(shop, asked.today)
    if planned:
        return planned
    first = asked.today.year * 12 + asked.today.month - 1
    months = (divmod(first + n, 12) for n in range(ROWS))
    ids = (f"{year:04}-{month + 1:02}" for year, month in months)
    return tuple(expected(shop, id, asked.today) for id in ids)


def _ahead(shop: Shop, asked: Asked) -> tuple[str, ...]:
    """What is expected of the first box that is still to be counted, and of the last; nothing
    where only the count is known."""
    coming = [one for one in _coming(shop, asked) if one.on > asked.today and one.counted]
    ends = coming[:1] if len(coming) < 2 else (coming[0], coming[-1])
    if all(one.low == one.high == one.counted for one in ends):
        return ()
    return tuple(say.expected(one, asked.today) for one in ends)


def _all() -> Button:
    return Button("Subscribers", says.show_counts())


def _flow() -> Button:
    return Button("Joins and churn", says.flow())


def _groups() -> Button:
    return Button("Skips and gifts", says.groups())


def _why(box: str, asked: Asked) -> Button:
    return Button(f"Why {box_name(box, asked.today)}", says.show_counts(box))


def _learn(*facts: str) -> Button:
    return Button("Learn it", says.learn(*facts))


HANDLERS: dict[type, Handler] = {
    CountSubscribers: count,
    SetFlow: set_flow,
    NoteCohort: note_cohort,
    NoteGroup: note_group,
    DropGroup: drop_group,
    ShowCounts: show,
}
WRITES: frozenset[type] = frozenset({CountSubscribers, SetFlow, NoteCohort, NoteGroup, DropGroup})
