"""Who may see money, and how everybody else is answered: the one place that decides.

Knows: people, which requests are about money, the shop with its money veiled. Must not know: what
any request does, what money stands for. Invariants: a reply goes to a chat whose person may see
money, or it was made from a shop in which there is none (so are its buttons and its files); in a
group nobody knows who reads, so no money is told there; what is done is done on the shop as it is:
a helper's words neither change nor drop an amount that they do not speak of, and no reply tells
whether an amount was guessed.

How: a message is worked out twice, on the shop and on the shop without money. Readers who may see
money get the replies of the first, all others those of the second. Changes are those of the first
where both touch the same records; where they differ, what was said is what is done: the changes of
the second, with the money that they do not speak of left as it stands.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from datetime import date

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import answer
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.order_requests import (
    ChangeBooks,
    Cheaper,
    CompareQuotes,
    DropOrder,
    DropPostage,
    HowMany,
    ListOrders,
    NoteQuote,
    OrderSent,
    ReviseOrder,
    SetPostage,
    SetRate,
    SetTerms,
    ShowBooks,
    ShowBrief,
    ShowCash,
    ShowCosts,
    ShowLots,
    ShowOrder,
    ShowPostage,
    ShowRates,
    TakeQuote,
    Tightest,
    WhatMovesCash,
    WhoToBargain,
    WorthOfTerms,
    WriteOrder,
)
from assistant.conversation.replies import crew as say
from assistant.conversation.requests import ChangeShop, Request
from assistant.planning.changes import find, place
from assistant.planning.model import Books, Change, Person, Put, Shop, Talk
from assistant.planning.numbers.quantity import Amount, amounts
from assistant.planning.veiling import MONEY, unveiled, without_money

React = Callable[[Shop, Asked], Outcome]
NUMBER = "a number to order that goes by prices"

ABOUT_MONEY: dict[type, str] = {
    ShowCosts: "what things cost",
    Cheaper: "how a box gets cheaper",
    ShowCash: "the cash",
    Tightest: "the cash",
    WhatMovesCash: "the cash",
    WhoToBargain: "better rates",
    ShowBrief: "better rates",
    CompareQuotes: "quotes",
    NoteQuote: "quotes",
    TakeQuote: "quotes",
    WorthOfTerms: "terms of payment",
    SetTerms: "terms of a supplier",
    ShowLots: "how to buy cheapest",
    ShowBooks: "the books",
    ShowRates: "exchange rates",
    SetRate: "exchange rates",
    ShowPostage: "postage",
    SetPostage: "postage",
    DropPostage: "postage",
    WriteOrder: "purchase orders",
    ShowOrder: "purchase orders",
    ListOrders: "purchase orders",
    ReviseOrder: "purchase orders",
    OrderSent: "purchase orders",
    DropOrder: "purchase orders",
}


def may_see_money(shop: Shop, person: Person) -> bool:
    """Whether a person may see money: an owner, or a helper of whom an owner said so."""
    known = find(shop.people, person.id)
    return known is not None and (known.role == "owner" or known.money)


def told_money(shop: Shop, chat: str) -> bool:
    """Whether money is told in a chat: only in that of one person who may see it."""
    person = next((one for one in shop.people if one.chat == chat), None)
    return person is not None and may_see_money(shop, person)


def seen_by(shop: Shop, person: Person) -> Shop:
    """Return the shop as a person may see it."""
    return shop if may_see_money(shop, person) else without_money(shop, person.id)


# --- requests about money -------------------------------------------------------------------


def refused(shop: Shop, request: Request, asked: Asked) -> Outcome | None:
    """Refuse a request about money to whom it is not told, naming what can be asked instead."""
    if asked.money:
        return None
    what = ABOUT_MONEY.get(type(request), "") or _figures(request) or _number(shop, request, asked)
    if not what:
        return None
    alone = may_see_money(shop, asked.person)
    buttons = (
        Button("This month", sentences.this_month()),
        Button("What is due", sentences.what_is_due()),
    )
    return answer(asked, say.no_money_here(what) if alone else say.no_money(what), buttons)


def _figures(request: Request) -> str:
    """Which figures of the shop's own a request sets, "" for none."""
    if isinstance(request, ChangeShop):
        return "her price" if (request.price, request.target) != (None, None) else ""
    if not isinstance(request, ChangeBooks):
        return ""
    named = any(getattr(request, one) is not None for one in MONEY[Books] if one in _SETTABLE)
    return "the books" if named or set(request.forget).intersection(MONEY[Books]) else ""


def _number(shop: Shop, request: Request, asked: Asked) -> str:
    """How many to order, where money decides it: a wrong number is worse than none."""
    if not isinstance(request, HowMany) or not asked.unsure:
        return ""
    inside = {one.id for one in shop.items if one.box == request.box}
    return NUMBER if asked.unsure & ({request.item} | inside) else ""


def _unsure(shop: Shop, veiled: Shop, today: date) -> frozenset[str]:
    """The items whose number to order, or its reason, is another one when money is not known."""
    plain = {one.item: _reckoned(one) for one in amounts(veiled, today)}
    found = amounts(shop, today)
    return frozenset(one.item for one in found if plain.get(one.item) != _reckoned(one))


def _reckoned(found: Amount) -> Sequence[object]:
    return found.order, found.advised, found.need, found.confidence


_SETTABLE = frozenset(ChangeBooks.__struct_fields__)


# --- one message, two readings --------------------------------------------------------------


def told(shop: Shop, asked: Asked, react: React) -> Outcome:
    """Return what follows from a message, each reply as its reader may see it."""
    here = told_money(shop, asked.heard.chat)
    asked = replace(asked, money=here)
    whole = react(shop, asked)
    if all(told_money(shop, one.to or asked.heard.chat) for one in whole.replies):
        return whole
    chat, person = asked.heard.chat, asked.person
    veiled = without_money(shop, person.id if chat == person.chat else "", chat)
    if not here and veiled is not shop:
        asked = replace(asked, unsure=_unsure(shop, veiled, asked.today))
    bare = _hushed(react(veiled, asked)) if veiled is not shop else whole
    if here:  # an owner's words, of which something is told to somebody else
        return _joined(shop, asked, whole, whole, bare)
    return _joined(shop, asked, _done(shop, veiled, whole, bare), whole, bare)


def _done(shop: Shop, veiled: Shop, whole: Outcome, bare: Outcome) -> Outcome:
    """What is done and remembered, where the one who asked may not see money."""
    changes = _settled(shop, veiled, whole.changes, bare.changes)
    kept = [tuple(one for one in found.notes if not _talk(one)) for found in (whole, bare)]
    notes = _settled(shop, veiled, *kept)
    talks = tuple(one for one in bare.notes if _talk(one))
    source = whole if whole.changes else bare
    return replace(
        source, changes=changes, notes=(*notes, *talks), stands=bare.stands, brief=bare.brief
    )


def _settled(
    shop: Shop, veiled: Shop, whole: tuple[Change, ...], bare: tuple[Change, ...]
) -> tuple[Change, ...]:
    """The changes of the whole shop where both touch the same records, else those that were told
    of, with the money that they do not speak of."""
    exact = {place(change): change for change in whole}
    if exact.keys() == {place(change) for change in bare}:
        return whole
    return tuple(
        exact.get(place(told), restored)
        for told, restored in zip(bare, unveiled(shop, veiled, bare), strict=True)
    )


def _talk(change: Change) -> bool:
    return isinstance(change, Put) and isinstance(change.record, Talk)


def _joined(shop: Shop, asked: Asked, done: Outcome, whole: Outcome, bare: Outcome) -> Outcome:
    """What was done, with each reply from the shop that its reader sees."""

    def sees(reply: Reply) -> bool:
        return told_money(shop, reply.to or asked.heard.chat)

    replies = (
        *(one for one in bare.replies if not sees(one)),
        *(one for one in whole.replies if sees(one)),
    )
    wanted = {one.document for one in replies} | {one.photo for one in replies}
    files = {one.id: one for one in _files(whole, bare) if one.id in wanted}
    ordered = sorted(replies, key=lambda one: one.to != "")
    return replace(done, replies=tuple(ordered), files=tuple(files.values()))


def _files(whole: Outcome, bare: Outcome) -> Iterable[File]:
    """The files of both; of one id the one without money."""
    return (*whole.files, *bare.files)


# --- what is not there is not missed ----------------------------------------------------------

# Where money is not told, nobody is told either that there is none: pieces of a line, whole lines.
_PIECES = re.compile(
    r"(?:[,;] | \()(?:no price(?: yet)?|no cost known|\d+ without a cost)\)?(?=[,;.\n]|$)"
)
_LINES = re.compile(
    r"^(?:No cost:|No price yet|.*\bitems may cost \d|.*(?<![\d.,])0\.00\b).*\n?", re.MULTILINE
)


def _hushed(outcome: Outcome) -> Outcome:
    replies = tuple(replace(one, text=_hush(one.text)) for one in outcome.replies)
    return replace(outcome, replies=replies)


def _hush(text: str) -> str:
    return _PIECES.sub("", _LINES.sub("", text)).rstrip("\n") or text
