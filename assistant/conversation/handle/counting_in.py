"""Counting in, and claims: the count-in sheet, the note to the supplier, what came of it.

Knows: which goods a request is about and when it must be refused. Must not know: how many to look
at or what is lacking (planning/), how a page is laid out (sheets/). Invariants: nothing is ever
sent to a supplier from here, she sends it; an item has one claim, and to claim the same again
changes nothing; each change is one commit that can be taken back.
"""

from collections.abc import Sequence

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.month_requests import ClaimMet, CountIn, MakeClaim
from assistant.conversation.replies import counting_in as say
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies.plain import short
from assistant.conversation.sentences import cautions as says_cautions
from assistant.conversation.sentences import counting_in as says
from assistant.conversation.sentences.rescue import rescue_item
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Claim, Item, Put, Shop
from assistant.planning.month.cautions import kinds
from assistant.planning.month.claims import is_open
from assistant.planning.month.counting_in import Coming, coming
from assistant.planning.month.progress import deliveries_of, progress
from assistant.planning.month.shortages import REPLACED, Shortage, claimed, met, shortage, worth
from assistant.planning.month.track import came
from assistant.sheets.blocks import paper_of
from assistant.sheets.count_in_page import count_in_page, lost, sheet
from assistant.sheets.writing import file_name

TOUCHED = 4  # of a list, how many have buttons of their own
MOST_TOUCHED = 8  # of a question


# --- the count-in sheet ---------------------------------------------------------------------


def count_in(shop: Shop, request: CountIn, asked: Asked) -> Outcome:
    """Show what is to be counted in and how: in short, or as pages."""
    item, today = find(shop.items, request.item), asked.today
    if request.item and item is None:
        return answer(asked, (say_plan.item_gone(),))
    supplier = supplier_name(shop, request.supplier)
    found = coming(shop, today, item=request.item, supplier=request.supplier, box=request.box)
    what = say.about(item.name if item else "", supplier, request.box, today)
    if not found:
        return _nothing_to_count(shop, request, item, what, asked)
    if request.page:
        return _page(shop, request, found, what, asked)
    page = Button("As a page", _says(shop, replace(request, page=True)))
    if len(found) == 1:
        only = found[0]
        lines = say.one(only, supplier_name(shop, only.supplier), today)
        talk = about(asked, item=only.item, box=only.box)
        what = say.about(only.name, "", only.box, today)
        buttons = (page, *_duties(shop, only.item))
        return answer(asked, lines, buttons, title=say.title(what), talk=talk)
    touched = (Button(short(one.name, 30), says.count_in(shop, one.item)) for one in found)
    talk = replace(about(asked), options=tuple(says.count_in(shop, one.item) for one in found))
    buttons = (page, *list(touched)[:TOUCHED])
    return answer(asked, say.several(found, today), buttons, title=say.title(what), talk=talk)


def _says(shop: Shop, request: CountIn) -> str:
    supplier = supplier_name(shop, request.supplier)
    return says.count_in(shop, request.item, supplier, request.box, page=request.page)


def _nothing_to_count(
    shop: Shop, request: CountIn, item: Item | None, what: str, asked: Asked
) -> Outcome:
    due = Button("What is due", sentences.what_is_due())
    if item is not None:
        state = progress(shop, item.id, asked.today)
        talk = about(asked, item=item.id, box=item.box)
        return answer(asked, (say.not_coming(item, state, asked.today),), (due,), talk=talk)
    named = request.supplier or request.box
    return answer(asked, (say.nothing_coming(what) if named else say.NOTHING_COMING,), (due,))


def _duties(shop: Shop, item_id: str) -> tuple[Button, ...]:
    """The button to what is to be checked for goods that carry duties."""
    item = find(shop.items, item_id)
    carries = item is not None and kinds(shop, item)
    return (Button("What to check", says_cautions.show(shop, item_id)),) if carries else ()


def _page(
    shop: Shop, request: CountIn, found: Sequence[Coming], what: str, asked: Asked
) -> Outcome:
    """The sheet as pages to print."""
    profile = profile_of(shop)
    written = sheet(shop, found, what, asked.today)
    content = count_in_page(written, paper_of(profile.country))
    named = file_name(profile.name, "count-in sheet", asked.today, "pdf")
    file = File(f"{asked.moment.ref}/count-in", named, content)
    text = "\n".join(filter(None, (say.TO_PRINT, say.REPLACED if lost(written) else "")))
    shown = Button("In short", _says(shop, replace(request, page=False)))
    reply = Reply(
        title=say.title(what),
        text=text,
        buttons=in_rows((shown,)),
        document=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


# --- a claim --------------------------------------------------------------------------------


def make_claim(shop: Shop, request: MakeClaim, asked: Asked) -> Outcome:
    """Write a claim to a supplier, and keep it with the day on which to ask again."""
    if request.supplier:
        return _claim_on(shop, request.supplier, asked)
    item, today = find(shop.items, request.item), asked.today
    if item is None:
        return answer(asked, (say_plan.item_gone(),))
    found, talk = shortage(shop, item.id, today), about(asked, item=item.id, box=item.box)
    if refusal := _refused(shop, item, found, asked):
        return answer(asked, (refusal,), (_due(),), talk=talk)
    only = request.damaged_only
    if only and not found.broken:
        whole = Button("All that is missing", says.make_claim(shop, item.id))
        return answer(asked, (say.none_damaged(item, found, today),), (whole,), talk=talk)
    old = find(shop.claims, item.id)
    claim, changes = claimed(shop, found, today, asked.moment.now, asked.person.id, only)
    before = old if old is not None and is_open(old, shop.deliveries) else None
    lines = (
        say.claimed(item, claim, before, today)
        if changes
        else say.claimed_already(item, claim, today),
        say.means(item, found, today),
        say.TO_PASTE,
        say.photos(claim),
        say.follow_up(claim, today),
        "" if only else say.perhaps_coming(found, _in_parts(shop, item, asked)),
        _repeated(shop, item),
    )
    buttons = (*_answers(shop, item), *_others(shop, item, found, claim))
    if changes:
        outcome = changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:2])
    else:
        outcome = answer(asked, lines, buttons, talk=talk, stands=True)
    pasted = Reply(text=_note(shop, item, replace(found, short=claim.short), asked))
    return replace(outcome, replies=(pasted, *outcome.replies))


def _claim_on(shop: Shop, supplier: str, asked: Asked) -> Outcome:
    """A claim on a supplier: for the one item that can be claimed for; of several, which."""
    theirs = [one for one in shop.items if one.supplier == supplier]
    wrong = [one for one in theirs if shortage(shop, one.id, asked.today).missing]
    if len(wrong) == 1:
        return make_claim(shop, MakeClaim(wrong[0].id), asked)
    name = supplier_name(shop, supplier)
    if not wrong:
        return answer(asked, (say.nothing_from(name),), (_due(),))
    buttons = [Button(_label(one, asked), says.make_claim(shop, one.id)) for one in wrong]
    talk = replace(about(asked), options=tuple(one.says for one in buttons))
    lines = (say.several_from(name, len(wrong)),)
    return answer(asked, lines, buttons[:MOST_TOUCHED], talk=talk)


def _label(item: Item, asked: Asked) -> str:
    return short(say.of(item, asked.today), 40)


def _refused(shop: Shop, item: Item, found: Shortage, asked: Asked) -> str:
    """Why there is nothing to claim, "" where there is."""
    claim, today = find(shop.claims, item.id), asked.today
    if found.missing:
        return "" if item.supplier else say.no_supplier(item, today)
    if not found.came:
        return say.nothing_counted(item, today)
    if claim is not None and claim.settled is not None:
        return say.met_already(item, claim, today)
    return say.nothing_lacking(item, found, today)


def _note(shop: Shop, item: Item, found: Shortage, asked: Asked) -> str:
    bought = find(shop.purchases, item.id)
    came_on = sorted({one.on for one in deliveries_of(shop, item.id)})
    by = found.by if found.by is not None and found.by > asked.today else None
    return say.note(
        item,
        found,
        supplier=supplier_name(shop, item.supplier),
        shop=profile_of(shop).name,
        reference=bought.reference if bought is not None else "",
        days=came_on,
        worth=worth(shop, item, found.missing),
        by=by,
    )


def _in_parts(shop: Shop, item: Item, asked: Asked) -> bool:
    return progress(shop, item.id, asked.today).state == "arrived in part"


def _repeated(shop: Shop, item: Item) -> str:
    """Say how often this supplier's deliveries were short or broken before."""
    theirs = [one for one in came(shop) if one.supplier == item.supplier and one.item != item.id]
    trouble = sum(bool(one.short or one.damaged) for one in theirs)
    return say.before(supplier_name(shop, item.supplier), trouble, len(theirs))


def claim_met(shop: Shop, request: ClaimMet, asked: Asked) -> Outcome:
    """Take down that a claim was made good."""
    if request.supplier:
        return _met_by(shop, request, asked)
    item, today = find(shop.items, request.item), asked.today
    if item is None:
        return answer(asked, (say_plan.item_gone(),))
    claim, talk = find(shop.claims, item.id), about(asked, item=item.id, box=item.box)
    if claim is None:
        make = Button("Claim note", says.make_claim(shop, item.id))
        return answer(asked, (say.no_claim(item, today),), (make,), talk=talk)
    new = met(claim, claim.settled or today, request.how or claim.how)
    if new == claim:
        told = say.met_already(item, claim, today)
        return answer(asked, (told,), (_due(),), talk=talk, stands=True)
    after = apply(shop, (Put(new),))
    found = shortage(after, item.id, today)
    lines = (
        say.met(item, new, supplier_name(shop, item.supplier), today),
        _still_to_come(shop, item, new),
        say.means(item, found, today),
    )
    buttons = (*_ways_out(shop, item, found), _due())
    return changed(shop, asked, (Put(new),), lines, buttons, talk=talk, brief=lines[:1])


def _met_by(shop: Shop, request: ClaimMet, asked: Asked) -> Outcome:
    """A claim on a supplier that was made good: the only one that is open; of several, which."""
    claimed_for = {one.id for one in shop.claims if is_open(one, shop.deliveries)}
    theirs = [
        one for one in shop.items if one.supplier == request.supplier and one.id in claimed_for
    ]
    if len(theirs) == 1:
        return claim_met(shop, ClaimMet(theirs[0].id, request.how), asked)
    name = supplier_name(shop, request.supplier)
    if not theirs:
        return answer(asked, (say.no_claim_on(name),), (_due(),))
    how = request.how or says.HOW[0]
    buttons = [Button(_label(one, asked), says.claim_met(shop, one.id, how)) for one in theirs]
    talk = replace(about(asked), options=tuple(one.says for one in buttons))
    lines = (say.several_claims(name, len(theirs)),)
    return answer(asked, lines, buttons[:MOST_TOUCHED], talk=talk)


def _still_to_come(shop: Shop, item: Item, claim: Claim) -> str:
    """Ask for the count of what was replaced, where it was not counted yet."""
    waits = claim.how == REPLACED and is_open(replace(claim, settled=None), shop.deliveries)
    return say.count_them(item, claim) if waits else ""


# --- buttons --------------------------------------------------------------------------------


def _due() -> Button:
    return Button("What is due", sentences.what_is_due())


def _answers(shop: Shop, item: Item) -> tuple[Button, ...]:
    return tuple(Button(how.capitalize(), says.claim_met(shop, item.id, how)) for how in says.HOW)


def _others(shop: Shop, item: Item, found: Shortage, claim: Claim) -> tuple[Button, ...]:
    """The buttons to another claim, and to what can be done for the box."""
    only = says.make_claim(shop, item.id, damaged_only=True)
    choice = claim.short and claim.damaged
    damaged = (Button("Only the damaged", only),) if choice else ()
    return (*damaged, *_ways_out(shop, item, found))


def _ways_out(shop: Shop, item: Item, found: Shortage) -> tuple[Button, ...]:
    if not found.lacks:
        return ()
    return (Button("Ways out", rescue_item(shop, item.id)),)


HANDLERS: dict[type, Handler] = {
    CountIn: count_in,
    MakeClaim: make_claim,
    ClaimMet: claim_met,
}
WRITES: frozenset[type] = frozenset({MakeClaim, ClaimMet})
