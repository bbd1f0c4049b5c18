"""A supplier's price list that comes in as a file: whose it is, shown, brought in.

Knows: drafts of offers, the words by which a list is a supplier's. Must not know: cells, how an
offer is matched. Invariants: those of files.py; a list is not brought in before it is known whose
it is; a supplier is guessed only by a name that stands in the file's name or title, and that is
said; items of the plan keep the price at which they were taken.
"""

import re
from collections.abc import Iterable
from typing import NamedTuple

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.named import nearly, supplier_in
from assistant.conversation.handle.outcomes import answer, changed, with_rest, without
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import offers as say
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies.files import Part, some, written_out
from assistant.conversation.replies.plain import short
from assistant.conversation.sentences import contents as offer_sentences
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_supplier
from assistant.conversation.year_requests import PriceListFrom
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Draft, Put, Remove, Shop
from assistant.planning.year import offers
from assistant.sheets.price_list import PriceList

NAME = 100  # characters of a file's name that are kept
LONGEST = 60  # characters of a supplier's name
CHOICES = 4  # suppliers that are offered as buttons

_LIST = r"(?:price ?-?lists?|prices|pricing|offers?|list|catalogue|quote|quotes)"
# Words sent with a file, by which it is somebody's: "price list from Aldermoor".
_FROM = re.compile(rf"(?:.*\b{_LIST}\b.*?|this is|it is|it's)? ?\b(?:from|of|by) (.+)", re.I)
_WHOSE = re.compile(
    rf"(?:(?:the|new|latest|here is|here are|this is) )*(.+?)'s? .*\b{_LIST}\b.*", re.I
)
_PLAIN = re.compile(rf"(?:the )?(.+?) (?:new |latest )?{_LIST}(?: .*)?", re.I)


class Whose(NamedTuple):
    """A supplier's name, and what it was guessed by ("": it was said, or stands on every row)."""

    name: str
    by: str = ""


def show(shop: Shop, found: PriceList, asked: Asked) -> Outcome:
    """Show what a price list would do; ask whose it is where that is not plain."""
    heard = asked.heard
    named = {row.supplier for row in found.rows}
    whose = (
        Whose(next(iter(named), "")) if named and "" not in named else _whose(shop, found, asked)
    )
    draft = Draft(
        id=heard.chat,
        name=short(heard.document_name, NAME),
        at=asked.moment.now,
        offers=found.rows,
        supplier=whose.name if whose else "",
    )
    unread = say.unread(found.refused, (*_remarks(shop, found, whose, asked), *found.notes))
    if not found.rows:
        title = say.heading(draft.name, draft.supplier, 0)
        lines = (say.NOTHING_READ, *_shown(unread))
        return with_rest(answer(asked, lines, title=title), title, written_out(unread), asked)
    return _proposed(shop, draft, unread, asked)


def is_from(shop: Shop, request: PriceListFrom, asked: Asked) -> Outcome:
    """Take it that the list which waits is this supplier's."""
    draft = find(shop.drafts, asked.heard.chat)
    if draft is None or not draft.offers:
        return answer(asked, (say.NO_DRAFT,))
    return _proposed(shop, replace(draft, supplier=request.supplier), (), asked)


def _proposed(shop: Shop, draft: Draft, unread: tuple[Part, ...], asked: Asked) -> Outcome:
    """Show what a draft would change, with a yes and a no; or ask whose list it is."""
    leave = Button("Leave it", sentences.leave_out())
    title = say.heading(draft.name, draft.supplier, len(draft.offers))
    if _nobodys(draft):
        known = (one.name for one in shop.suppliers[:CHOICES])
        choices = (Button(short(one, 30), offer_sentences.price_list_from(one)) for one in known)
        lines = (say.whose(draft.name), *_shown(unread))
        outcome = answer(asked, lines, (*choices, leave), title=title)
        kept = replace(outcome, notes=(*outcome.notes, Put(draft)))
        return with_rest(kept, title, written_out(unread), asked)
    incoming = _incoming(shop, draft, asked)
    currency = profile_of(shop).currency
    changed_prices = say.repriced(incoming, currency)
    rest = written_out((changed_prices, *unread))
    lines = (*say.summary(incoming, currency), *_shown(unread))
    if not incoming.changes:
        outcome = answer(asked, lines, title=title)
        waits = find(shop.drafts, draft.id)
        if waits is not None and waits.offers == draft.offers:
            outcome = without(outcome, Remove("drafts", draft.id))
        return with_rest(outcome, title, rest, asked)
    yes = Button("Bring it in", sentences.bring_in())
    outcome = answer(asked, lines, (yes, leave), title=title)
    return with_rest(replace(outcome, notes=(*outcome.notes, Put(draft))), title, rest, asked)


def bring_in(shop: Shop, draft: Draft, asked: Asked) -> Outcome:
    """Lay the offers of the draft over those that are kept now."""
    if _nobodys(draft):
        return _proposed(shop, draft, (), asked)
    gone, incoming = Remove("drafts", draft.id), _incoming(shop, draft, asked)
    if not incoming.changes:
        return without(answer(asked, (say.nothing_new(draft.name),), stands=True), gone)
    currency = profile_of(shop).currency
    lines = (
        *say.brought_in(incoming, currency),
        *_new_suppliers(shop, incoming.suppliers),
        _old(draft, asked),
    )
    button = Button("See the offers", offer_sentences.find_offers(supplier=_one_of(draft)))
    outcome = changed(shop, asked, incoming.changes, lines, (button,))
    outcome = replace(without(outcome, gone), why=f"{draft.name} brought in")
    rest = written_out((say.repriced(incoming, currency),))
    return with_rest(
        outcome, say.heading(draft.name, draft.supplier, len(draft.offers)), rest, asked
    )


def _incoming(shop: Shop, draft: Draft, asked: Asked) -> offers.IncomingOffers:
    ref = asked.moment.ref
    return offers.bring_in(shop, draft.offers, draft.supplier, asked.today, ref)


def _nobodys(draft: Draft) -> bool:
    return not draft.supplier and any(not row.supplier for row in draft.offers)


def _one_of(draft: Draft) -> str:
    """The one supplier whose offers a draft has, "" where there are several."""
    named = {row.supplier or draft.supplier for row in draft.offers}
    return named.pop() if len(named) == 1 else ""


def _shown(parts: Iterable[Part]) -> tuple[str, ...]:
    return tuple(line for part in parts for line in some(part))


def _remarks(shop: Shop, found: PriceList, whose: Whose | None, asked: Asked) -> tuple[str, ...]:
    """What the owner should look at before she says yes."""
    if not found.rows:
        return ()
    own = profile_of(shop).currency
    said = offers.own_currency(found.rows[0].currency, own)
    priced = any(row.price is not None for row in found.rows)
    dates = sorted(row.quoted for row in found.rows if row.quoted)
    lasts = [row.valid_until for row in found.rows if row.valid_until]
    money = say.foreign(said) if said else "" if found.rows[0].currency else say.read_as(own)
    oldest = dates[0] if dates else None
    remarks = (
        say.taken_for(whose.name, whose.by) if whose and whose.by else "",
        money if priced else "",
        say.dated(oldest, asked.today),
        say.holds(min(lasts), asked.today) if lasts else "",
        say.old_quote(whose.name if whose else "", oldest, asked.today)
        if oldest and offers.is_old(oldest, asked.today)
        else "",
    )
    return tuple(filter(None, remarks))


def _old(draft: Draft, asked: Asked) -> str:
    """Point out the oldest quote of a list, where it is old."""
    days = [row.quoted for row in draft.offers if row.quoted]
    if not days or not offers.is_old(min(days), asked.today):
        return ""
    return say.old_quote(_one_of(draft), min(days), asked.today)


def _new_suppliers(shop: Shop, names: Iterable[str]) -> tuple[str, ...]:
    """Name suppliers that the list made, and those that have nearly their names."""
    near = ((name, nearly(shop, name)) for name in names)
    return tuple(say_plan.new_supplier(name, "", one.name if one else "") for name, one in near)


# --- whose list it is -----------------------------------------------------------------------


def _whose(shop: Shop, found: PriceList, asked: Asked) -> Whose | None:
    """Whose list a file is: by the words sent with it, by its name, by its title."""
    if said := _said(shop, asked):
        return Whose(said)
    named = re.sub(r"[_\-.]+", " ", asked.heard.document_name)
    places = ((named, "the name of the file"), *((one, "its title") for one in found.titles))
    for text, by in places:
        if supplier := supplier_in(shop, text):
            return Whose(supplier.name, by)
    return None


def _said(shop: Shop, asked: Asked) -> str:
    """The supplier that the words sent with a file name: one that is known, or a new one's name
    behind "from"; "" for none."""
    words = " ".join(asked.heard.text.split()).strip(" .!")
    c = Context(shop, asked.talk, asked.today)
    for pattern, may_be_new in ((_FROM, True), (_WHOSE, True), (_PLAIN, False), (None, False)):
        found = pattern.fullmatch(words) if pattern else None
        if pattern and found is None:
            continue
        name = (found[1] if found else words).strip(" \"'.,")[:LONGEST]
        known = known_supplier(name, c) if name else None
        if isinstance(known, str):
            return known
        if may_be_new and known is None and re.search(r"[^\W\d_]{2}", name):
            return name
    return ""
