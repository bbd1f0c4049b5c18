"""The recurring types spread over the boxes of a year: worked out, shown, taken into the plan.

Knows: over which boxes to spread, what of a proposal is told. Must not know: how a sentence is
written (replies/spreading), how a year is spread (year/spread). Invariants: a proposal changes
nothing until it is used; one that rests on another plan or on other wishes is never used, but
worked out anew; what is ordered or was sent stays where it is.
"""

from collections.abc import Sequence
from datetime import timedelta

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.cautions import for_many
from assistant.conversation.handle.clashes import clash
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies import opinions as say_opinions
from assistant.conversation.replies import spreading as say
from assistant.conversation.replies import types as say_types
from assistant.conversation.sentences import types as says
from assistant.conversation.year_requests import ShowSpread, SpreadTypes, UseSpread
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Box, Change, Placement, Proposal, Put, RecurringType, Shop
from assistant.planning.month.lessons import disliked_types
from assistant.planning.wishes import Score
from assistant.planning.year import spread
from assistant.planning.year.recurring import suits
from assistant.scheduling.weeks import Problem

YEARS = 9  # that lie ahead and can be spread over
NEXT_YEAR_FROM = 10  # the month from which on the coming year is meant
DISLIKED = 2  # types that subscribers did not love and a way is told with
FRESH = timedelta(days=1)  # a proposal so old is gone on with


def spread_types(shop: Shop, request: SpreadTypes, asked: Asked) -> Outcome:
    """Work out how the types are spread best, and propose it."""
    if not shop.types:
        return answer(asked, say_types.BEGIN)
    year = request.year
    if year is not None and not asked.today.year <= year <= asked.today.year + YEARS:
        example = says.spread(year=asked.today.year)
        text = say.year_is_over(year, say.for_example(example))
        return answer(asked, (text,), (Button(f"Over {asked.today.year}", example),))
    return _worked_out(shop, _boxes(shop, request, asked), asked)


def show_spread(shop: Shop, request: ShowSpread, asked: Asked) -> Outcome:
    """Show one of the proposed ways."""
    proposal = find(shop.proposals, _chat(asked))
    if proposal is None:
        return _nothing_proposed(asked)
    if not 1 <= request.option <= len(proposal.options):
        return _no_such_way(request.option, proposal, asked)
    if _is_stale(shop, proposal):
        return _anew(shop, proposal, asked)
    return _shown(shop, proposal, request.option, asked)


def use_spread(shop: Shop, request: UseSpread, asked: Asked) -> Outcome:
    """Take a proposed way into the plan, in one commit."""
    proposal = find(shop.proposals, _chat(asked))
    if proposal is None:
        return _nothing_proposed(asked)
    if not 1 <= request.option <= len(proposal.options):
        return _no_such_way(request.option, proposal, asked)
    placements, year = (
        proposal.options[request.option - 1],
        Button("The year", sentences.show_year()),
    )
    if _stands(shop, proposal, placements):
        return answer(asked, (say.NOTHING_TO_DO,), (year,), stands=True)
    if _is_stale(shop, proposal):
        return _anew(shop, proposal, asked)
    changes = _with_all_boxes(
        shop, proposal, spread.changes_of(shop, placements, asked.moment.ref), asked
    )
    after = apply(shop, changes)
    stay, move, new, out = _against(shop, placements)
    first = say.used(_over(shop, proposal), new, move, stay, out)
    coming = dates.todo(after, asked.today)[:1]
    known = {item.id for item in shop.items}
    goods = for_many(after, (one for one in after.items if one.id not in known), "plan", asked)
    next_one = [say_dates.next_due(one, asked.today) for one in coming]
    lines = (first, *next_one, *goods.lines)
    buttons = (year, Button("What is due", sentences.what_is_due()), *goods.buttons)
    talk = about(asked, item="", box="")
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=(first, *goods.lines))


def _with_all_boxes(
    shop: Shop, proposal: Proposal, changes: tuple[Change, ...], asked: Asked
) -> tuple[Change, ...]:
    """The changes, with the boxes of the year that no type comes in: without them the plan would
    look as if fewer boxes shipped."""
    made = {box.id for box in apply(shop, changes).boxes}
    boxes = spread.boxes_between(shop, proposal.first, proposal.last)
    coming = (id for id in boxes if id not in made and id[:7] >= f"{asked.today:%Y-%m}")
    return (*changes, *(Put(Box(id=id)) for id in coming))


def _stands(shop: Shop, proposal: Proposal, placements: Sequence[Placement]) -> bool:
    """Whether each type comes in just these boxes already."""
    now = {
        (one.id, item.box)
        for one in shop.types
        for item in spread.placed(shop, one)
        if proposal.first <= item.box <= proposal.last
    }
    return now == {(p.type, p.box) for p in placements if p.box}


# --- over which boxes -----------------------------------------------------------------------


def _boxes(shop: Shop, request: SpreadTypes, asked: Asked) -> tuple[str, str]:
    """The first and the last box to spread over: those of a year, or of some months from now. Where
    nothing is said, those of the last proposal if it is not old, else of the year that is sat
    over or comes next."""
    today, earlier = asked.today, find(shop.proposals, _chat(asked))
    if request.months is not None:
        begin = today.year * 12 + today.month - 1
        numbers = range(begin, begin + request.months)
        return _within(shop, tuple(f"{n // 12}-{n % 12 + 1:02}" for n in numbers))
    if request.year is None and earlier and asked.moment.now - earlier.at < FRESH:
        return earlier.first, earlier.last
    sitting = int(asked.talk.sitting[:4] or 0)
    year = request.year or sitting or today.year + (today.month >= NEXT_YEAR_FROM)
    return _within(shop, tuple(f"{year}-{month:02}" for month in range(1, 13)))


def _within(shop: Shop, months: tuple[str, ...]) -> tuple[str, str]:
    """The first and the last box of these months."""
    around = f"{int(months[0][:4]) - 1}-01", f"{int(months[-1][:4]) + 1}-12"
    inside = [id for id in spread.boxes_between(shop, *around) if id[:7] in months]
    return (inside[0], inside[-1]) if inside else (months[0], months[-1])


def _over(shop: Shop, proposal: Proposal) -> str:
    return say.stretch(spread.boxes_between(shop, proposal.first, proposal.last))


def _asked_again(proposal: Proposal) -> str:
    """The sentence that asks for a spread over the same boxes."""
    first, last = proposal.first, proposal.last
    if first[:4] == last[:4] and first[5:7] <= "03" and last[5:7] >= "10":
        return says.spread(year=int(first[:4]))
    return says.spread(months=_months(last) - _months(first) + 1)


def _months(box: str) -> int:
    return int(box[:4]) * 12 + int(box[5:7])


# --- working it out -------------------------------------------------------------------------


def _worked_out(shop: Shop, boxes: tuple[str, str], asked: Asked, before: str = "") -> Outcome:
    """Spread the types between two boxes and propose the ways found, or tell what clashes."""
    first, last = boxes
    found = spread.spread(shop, asked.today, first=first, last=last)
    if isinstance(found, Problem):
        return answer(asked, (str(found),), (Button("The types", says.show_types()),))
    proposal = Proposal(
        id=_chat(asked),
        at=asked.moment.now,
        first=first,
        last=last,
        options=(),
        rests_on=spread.fingerprint(shop, first, last),
    )
    if isinstance(found, spread.Clash):
        over = say.stretch(spread.boxes_between(shop, first, last))
        return clash(shop, found, over, _asked_again(proposal), asked)
    proposal = replace(
        proposal,
        options=tuple(option.placements for option in found.options),
        scores=tuple(_score(option) for option in found.options),
    )
    outcome = _shown(shop, proposal, 1, asked, before)
    return replace(outcome, notes=(Put(proposal), *outcome.notes))


def _score(option: spread.Option) -> Score:
    return Score(
        proved=option.proved,
        off=option.off,
        running=option.running,
        gaps=option.gaps,
        cost_low=option.cost_low,
        cost_high=option.cost_high,
        band=option.band,
        again=tuple(dict.fromkeys(one.type for one in option.again)),
    )


def _anew(shop: Shop, proposal: Proposal, asked: Asked) -> Outcome:
    """Tell that a proposal is stale, and work it out again."""
    if not shop.types:
        return answer(asked, say_types.BEGIN)
    return _worked_out(shop, (proposal.first, proposal.last), asked, say.STALE)


def _is_stale(shop: Shop, proposal: Proposal) -> bool:
    return spread.fingerprint(shop, proposal.first, proposal.last) != proposal.rests_on


def _chat(asked: Asked) -> str:
    return asked.talk.id or asked.heard.chat


def _nothing_proposed(asked: Asked) -> Outcome:
    return answer(asked, (say.NOTHING_PROPOSED,), (Button("Spread the types", says.spread()),))


def _no_such_way(option: int, proposal: Proposal, asked: Asked) -> Outcome:
    text = say.no_such_way(option, len(proposal.options))
    return answer(asked, (text,), (Button("Show way 1", says.show_spread(1)),))


# --- showing a way --------------------------------------------------------------------------


def _shown(shop: Shop, proposal: Proposal, option: int, asked: Asked, before: str = "") -> Outcome:
    """One way to spread: where each type comes, how even it is, what it changes."""
    placements, many = proposal.options[option - 1], len(proposal.options)
    boxes = spread.boxes_between(shop, proposal.first, proposal.last)
    lines = (
        before,
        *_type_lines(shop, proposal, option, boxes),
        *_remarks(shop, proposal, option),
        say.against_present(*_against(shop, placements)),
    )
    buttons = [Button("Use it", says.use_spread(option))]
    if many > 1:
        buttons.append(Button("Another", says.show_spread(option % many + 1)))
    buttons.append(Button("Leave it", sentences.leave_out()))
    talk = replace(about(asked, item=""), options=(says.use_spread(option),))
    title = say.title(say.stretch(boxes), option, many)
    outcome = answer(asked, lines, buttons, title=title, talk=talk)
    if len(shop.types) <= say.LINES and len(boxes) <= 12:
        return outcome
    text = f"{title}\n\n{say.whole(_by_box(shop, placements, boxes))}\n"
    file = File(f"{asked.moment.ref}/spread", f"types {boxes[0]}.txt", text.encode())
    whole = Reply(text=say.WHOLE, document=file.id, document_name=file.name)
    return replace(outcome, replies=(*outcome.replies, whole), files=(file,))


def _type_lines(
    shop: Shop, proposal: Proposal, option: int, boxes: Sequence[str]
) -> tuple[str, ...]:
    gaps = dict(proposal.scores[option - 1].gaps) if proposal.scores else {}
    forms = len(shop.types) <= say.WITH_FORMS and len(boxes) <= 12
    lines = tuple(
        say.type_line(
            one.name,
            say.where(_returns(proposal.options[option - 1], one), len(boxes), forms),
            say.apart(gaps.get(one.id, ())) if one.times > 1 else "",
        )
        for one in shop.types
    )
    more = len(lines) - say.LINES
    return lines if more <= 0 else (*lines[: say.LINES], say.more_types(more))


def _returns(placements: Sequence[Placement], type: RecurringType) -> list[tuple[str, str]]:
    """The boxes and forms of one type, by box."""
    return sorted((p.box, p.form) for p in placements if p.type == type.id and p.box)


def _remarks(shop: Shop, proposal: Proposal, option: int) -> tuple[str, ...]:
    score = proposal.scores[option - 1]
    names = [one.name for one in shop.types if one.id in score.again]
    costs = score.cost_low, score.cost_high, score.band
    return (
        say.evenness(score.off, score.proved, first=option == 1),
        say.running(score.running) if score.running else "",
        say.forms_again(names),
        say.costs(*costs, profile_of(shop).currency),
        say.fits(*_suiting(shop, proposal.options[option - 1])),
        *(say_opinions.before(one) for one in disliked_types(shop)[:DISLIKED]),
    )


def _suiting(shop: Shop, placements: Sequence[Placement]) -> tuple[int, int]:
    """How many returns go with the theme of their box, of how many that could."""
    themes = {box.id: box.theme for box in shop.boxes if box.theme}
    types = {one.id: one for one in shop.types if one.suits}
    could = [p for p in placements if p.type in types and p.box in themes]
    return sum(suits(types[p.type], themes[p.box]) for p in could), len(could)


def _against(shop: Shop, placements: Sequence[Placement]) -> tuple[int, int, int, int]:
    """How many returns stay where they are, move, are new, and are taken out."""
    now = {item.id: item.box for item in shop.items}
    new = sum(not p.item for p in placements)
    out = sum(bool(p.item) and not p.box for p in placements)
    stay = sum(bool(p.item) and now.get(p.item) == p.box for p in placements)
    return stay, len(placements) - new - out - stay, new, out


def _by_box(
    shop: Shop, placements: Sequence[Placement], boxes: Sequence[str]
) -> dict[str, list[tuple[str, str]]]:
    names = {one.id: one.name for one in shop.types}
    return {
        box: [(names.get(p.type, p.type), p.form) for p in placements if p.box == box]
        for box in boxes
    }


HANDLERS: dict[type, Handler] = {
    SpreadTypes: spread_types,
    ShowSpread: show_spread,
    UseSpread: use_spread,
}
WRITES: frozenset[type] = frozenset({UseSpread})
