"""Versions of the year: kept, listed, compared, adopted, forgotten.

Knows: which version a request is about and when it must be refused. Must not know: what adopting
changes (year/variants), how a sentence is written. Invariants: a comparison shows what adopting
would do; adopting is done once that was shown, in one commit that can be taken back; the year that
gives way is kept.
"""

from datetime import date, datetime

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.handle.previewing import as_done, effect_lines, preview
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies import variants as say
from assistant.conversation.replies.plain import short
from assistant.conversation.sentences import rearranging as says
from assistant.conversation.year_requests import (
    AdoptVariant,
    CompareVariant,
    DropVariant,
    KeepVariant,
    ShowVariants,
)
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Put, Remove, Shop, Variant
from assistant.planning.year import variants
from assistant.scheduling.zones import zone

LABEL = 20  # characters of a version's name on a button
COMPARED = 4  # versions that are offered to be compared


def keep(shop: Shop, request: KeepVariant, asked: Asked) -> Outcome:
    """Keep the year as it stands under a name, in place of a version of that name."""
    if not shop.boxes:
        return answer(asked, (say.nothing_to_keep(),))
    new = variants.keep(shop, request.name, asked.moment.now)
    old = find(shop.variants, new.id)
    if old is not None and variants.same_year(shop, old):
        return answer(asked, (say.kept_already(old.name),), (_all(),), stands=True)
    if old is None and len(shop.variants) >= variants.MOST:
        oldest = min(shop.variants, key=lambda one: (one.at, one.id))
        forget = Button(f"Forget {short(oldest.name, LABEL)}", says.forget(oldest.name))
        return answer(asked, (say.full(oldest.name),), (forget, _all()))
    replaced = _day(shop, old.at) if old else None
    kept = say.kept(new.name, len(new.boxes), len(new.items), replaced, asked.today)
    lines = (kept, say.use(new.name))
    return changed(shop, asked, (Put(new),), lines, (_all(),), brief=(kept,))


def show(shop: Shop, request: ShowVariants, asked: Asked) -> Outcome:
    """List the versions, the newest first, with how many boxes differ."""
    del request
    if not shop.variants:
        return answer(asked, (say.NONE_KEPT,))
    newest = sorted(shop.variants, key=lambda one: (one.at, one.id), reverse=True)
    lines = [
        say.row(number, one.name, _day(shop, one.at), _how_many(shop, one, asked), asked.today)
        for number, one in enumerate(newest, 1)
    ]
    buttons = [
        Button(f"Compare {short(one.name, LABEL)}", says.compare(one.name))
        for one in newest[:COMPARED]
    ]
    return answer(asked, lines, buttons, title=say.VERSIONS)


def compare(shop: Shop, request: CompareVariant, asked: Asked) -> Outcome:
    """Show how the year would be with a version adopted."""
    variant = find(shop.variants, request.variant)
    if variant is None:
        return _gone(asked)
    after, adoption = _adopted(shop, variant, asked)
    found = variants.differences(shop, after)
    if not found:
        return answer(asked, (say.same(variant.name),), (_all(),))
    lines = (
        *say.differs(found, asked.today),
        *effect_lines(shop, after, asked)[:3],
        say.orders(adoption.carried, adoption.again, asked.today),
    )
    buttons = (_button("Adopt", says.adopt(variant.name), variant), _all())
    return answer(asked, lines, buttons, title=say.against(variant.name))


def adopt(shop: Shop, request: AdoptVariant, asked: Asked) -> Outcome:
    """Make a version the year plan, once what it does was shown."""
    variant = find(shop.variants, request.variant)
    if variant is None:
        return _gone(asked)
    after, adoption = _adopted(shop, variant, asked)
    found = variants.differences(shop, after)
    if not found:
        return answer(asked, (say.same(variant.name),), (_all(),), stands=True)
    what = say.adopt(variant.name)
    orders = say.orders(adoption.carried, adoption.again, asked.today)
    effects = effect_lines(shop, after, asked)
    if not request.sure:
        first = (say.which_boxes(found, asked.today), orders)
        return preview(shop, after, what, says.adopt(variant.name), asked, first)
    lines = (
        say.adopted(variant.name, adoption.kept_as),
        orders,
        *effects,
        *(say_dates.next_due(one, asked.today) for one in dates.todo(after, asked.today)[:1]),
    )
    talk, buttons = about(asked, item="", box=found[0].box), (_year(), _all())
    return as_done(changed(shop, asked, adoption.changes, lines, buttons, talk=talk), what)


def forget(shop: Shop, request: DropVariant, asked: Asked) -> Outcome:
    """Let a version go."""
    variant = find(shop.variants, request.variant)
    if variant is None:
        return _gone(asked)
    gone = (Remove("variants", variant.id),)
    return changed(shop, asked, gone, (say.forgotten(variant.name),), (_all(),))


def _adopted(shop: Shop, variant: Variant, asked: Asked) -> tuple[Shop, variants.Adoption]:
    adoption = variants.adopt(shop, variant, asked.moment.now, asked.today)
    return apply(shop, adoption.changes), adoption


def _how_many(shop: Shop, variant: Variant, asked: Asked) -> int:
    """How many boxes adopting a version would change."""
    return len(variants.differences(shop, _adopted(shop, variant, asked)[0]))


def _gone(asked: Asked) -> Outcome:
    return answer(asked, (say.GONE,), (_all(),))


def _all() -> Button:
    return Button("Versions", says.versions())


def _year() -> Button:
    return Button("The year", sentences.show_year())


def _button(verb: str, sentence: str, variant: Variant) -> Button:
    return Button(f"{verb} {short(variant.name, LABEL)}", sentence)


def _day(shop: Shop, at: datetime) -> date:
    there = zone(profile_of(shop).zone)
    return at.astimezone(there).date() if there else at.date()


HANDLERS: dict[type, Handler] = {
    KeepVariant: keep,
    ShowVariants: show,
    CompareVariant: compare,
    AdoptVariant: adopt,
    DropVariant: forget,
}
WRITES: frozenset[type] = frozenset({KeepVariant, AdoptVariant, DropVariant})
