"""Whom to bargain with, a brief for it, an enquiry.

Knows: which supplier is meant, which of its items are still to be ordered. Must not know: what is
worth asking for (trade/bargains), how a letter reads (replies/letters). Invariants: nothing here
changes the plan; a letter goes to the owner alone, as a message of its own with nothing else in it;
what is not for the supplier's eyes stands in another message.
"""

import re
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.conversation.handle import comparing, quotes
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_called, supplier_name
from assistant.conversation.handle.outcomes import answer
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.order_requests import ShowBrief, WhoToBargain, WriteEnquiry
from assistant.conversation.replies import bargaining as say
from assistant.conversation.replies import letters
from assistant.conversation.replies.plain import listed, short
from assistant.conversation.replies.plan import size, weight
from assistant.conversation.sentences import bargaining as says
from assistant.planning.accounts.landed import books_of
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import by_key, deadlines
from assistant.planning.model import Item, Shop
from assistant.planning.trade.bargains import Bargain, bargain_with, bargains
from assistant.planning.trade.supplies import Year
from assistant.planning.year.recurring import plain

SHOWN = 6  # suppliers on one screen
TOUCHED = 3
ASKS = 6  # things to ask for that one message tells
ON_SCREEN = 32  # lines of a letter that a message shows; a longer one is a file
STOCK = "stock"  # the stage by which goods are in hand
LABEL = 20


def who_to_bargain(shop: Shop, request: WhoToBargain, asked: Asked) -> Outcome:
    """The suppliers of whom a better rate can be asked, the most worth first."""
    del request
    every = bargains(shop, asked.today)
    if not every:
        return answer(asked, (say.NOBODY,))
    own, shown = profile_of(shop).currency, every[:SHOWN]
    names = [supplier_name(shop, one.supplier) for one in shown]
    lines = (
        *(say.line(n, o, names[n - 1], own) for n, o in enumerate(shown, 1)),
        say.more(len(every) - len(shown)),
        say.footer(own),
    )
    buttons = [
        Button(f"Brief for {short(name, LABEL)}", says.brief(name)) for name in names[:TOUCHED]
    ]
    return answer(asked, lines, buttons, title=say.TITLE)


# --- a brief --------------------------------------------------------------------------------


def show_brief(shop: Shop, request: ShowBrief, asked: Asked) -> Outcome:
    """What to ask of a supplier: a letter to paste, and beside it what each thing is worth."""
    found = bargain_with(shop, request.supplier, asked.today)
    name = supplier_name(shop, request.supplier)
    enquire = Button("Write an enquiry", says.enquiry(shop, name))
    who = Button("Whom else", says.who_to_bargain())
    own = profile_of(shop).currency
    if found is None or not found.asks:
        goods = found is not None and bool(found.supply.goods)
        beside = _could(shop, found) if found else ""
        buttons = (enquire, who) if goods else (who,)
        return answer(asked, (say.nothing_to_ask(name, goods), beside), buttons)
    letter = letters.brief(found, name, profile_of(shop).name)
    told = books_of(shop).interest
    interest = shop.house.interest if told is None else told
    lines = (
        say.adds_up(found.supply, own),
        say.quarters(found.supply),
        *_worths(found, own, interest, asked.today),
        _could(shop, found),
        say.SENT_BY_YOU,
    )
    first = Reply(title=say.brief_title(name), text=letter)
    beside_it = answer(asked, lines, (enquire, who), title=say.for_you(name))
    return replace(beside_it, replies=(first, *beside_it.replies))


def _worths(found: Bargain, own: str, interest: Decimal, today: date) -> tuple[str, ...]:
    """What each thing to ask for is worth, and why."""
    currency = found.supply.currency
    return tuple(say.ask(one, currency, own, interest, today) for one in found.asks[:ASKS])


def _could(shop: Shop, found: Bargain) -> str:
    """What others supply that this one could."""
    items = [item for one in found.supply.could if (item := find(shop.items, one.item))]
    names = list(dict.fromkeys(item.name for item in items))
    others = list(dict.fromkeys(filter(None, (supplier_name(shop, i.supplier) for i in items))))
    known = [one.saves for one in found.supply.could if one.saves is not None]
    saves = sum(known) if known and len(known) == len(items) else None
    return say.could(names, others, saves or None, profile_of(shop).currency)


# --- an enquiry -----------------------------------------------------------------------------


def write_enquiry(shop: Shop, request: WriteEnquiry, asked: Asked) -> Outcome:
    """An enquiry to a supplier, for one item's goods or for all that it supplies and that is not
    ordered yet; a long one is a file."""
    known = supplier_called(shop, request.supplier)
    name = known.name if known else request.supplier
    year = Year(shop, asked.today)
    items = _items(year, known.id if known else "", request.item)
    if not items:
        return answer(asked, (say.nothing_to_enquire(name),))
    wanted = _wanted(year, items, known.id if known else "", asked.today)
    where = books_of(shop).deliver_to
    text = letters.enquiry(wanted, name, profile_of(shop).name, where, asked.today)
    lines = (
        "" if where else say.no_address(),
        say.SENT_BY_YOU,
        say.when_answered(name, items[0].name),
    )
    beside = answer(asked, lines)
    title, beside = say.enquiry_title(name), answer(asked, lines)
    if text.count("\n") < ON_SCREEN:
        return replace(beside, replies=(Reply(title=title, text=text), *beside.replies))
    file = File(f"{asked.moment.ref}/letter", _file_name(name), text.encode())
    first = Reply(
        title=title, text=say.in_file(len(wanted)), document=file.id, document_name=file.name
    )
    return replace(beside, replies=(first, *beside.replies), files=(file,))


def _file_name(supplier: str) -> str:
    word = re.sub(r"\W+", "-", supplier.lower()).strip("-")[:40]
    return f"enquiry-{word}.txt"


def _items(year: Year, supplier: str, item_id: str) -> list[Item]:
    """The items that an enquiry is about, in the order of the boxes."""
    if not item_id:
        return year.still(supplier) if supplier else []
    asked = find(year.shop.items, item_id)
    if asked is None:
        return []
    alike = [
        one
        for one in year.items
        if plain(one.name) == plain(asked.name) and one.id not in year.ordered
    ]
    return sorted(alike or [asked], key=lambda one: (one.box, one.id))


def _wanted(
    year: Year, items: list[Item], supplier: str, today: date
) -> tuple[letters.Wanted, ...]:
    """Goods with their pieces, the days by which they must be in hand, and the quantities at which
    this supplier's price breaks."""
    due = by_key(deadlines(year.shop, today))
    alike: dict[str, list[Item]] = {}
    for item in items:
        alike.setdefault(plain(item.name), []).append(item)
    found = []
    for some in alike.values():
        days = [due.get(f"{one.id}/{STOCK}") for one in some]
        pieces = [year.need(one) if one.id in year.amounts else 0 for one in some]
        breaks = [one.breaks for one in some if one.supplier == supplier]
        found.append(
            letters.Wanted(
                name=some[0].name,
                deliveries=tuple(
                    (number, day.on if day else None)
                    for number, day in zip(pieces, days, strict=True)
                    if number
                ),
                breaks=max(breaks, key=len, default=()),
                facts=_facts(some[0]),
            )
        )
    return tuple(found)


def _facts(item: Item) -> tuple[str, ...]:
    """What a supplier must know of goods to quote for them."""
    options = listed([name for name, _ in item.shares])
    told = (
        item.form,
        f"in {options}" if options else "",
        weight(item.grams) if item.grams else "",
        size(item.mm) if item.mm else "",
    )
    return tuple(filter(None, told))


HANDLERS: dict[type, Handler] = {
    WhoToBargain: who_to_bargain,
    ShowBrief: show_brief,
    WriteEnquiry: write_enquiry,
    **quotes.HANDLERS,
    **comparing.HANDLERS,
}
WRITES: frozenset[type] = quotes.WRITES | comparing.WRITES
