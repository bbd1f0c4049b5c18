"""Money in and out: by week and month, as a picture; the lowest point and what would lift it.

Knows: up to which day a question is meant, how much of an answer one message holds. Must not know:
how cash is reckoned (planning/), drawn (sheets/) or written (replies/). Invariant: nothing here
changes anything; what does is in terms.py, whose handlers belong to this room.
"""

from datetime import date, timedelta

from assistant.conversation.handle import terms
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import answer, in_rows
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.order_requests import ShowCash, Tightest, WhatMovesCash
from assistant.conversation.replies import cash as say
from assistant.conversation.sentences import cash as says
from assistant.planning.accounts.cash import Cash, cash, last_day
from assistant.planning.accounts.landed import books_of
from assistant.planning.accounts.payments import Flow
from assistant.planning.accounts.relief import Relief, before_lowest, reliefs
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Shop
from assistant.scheduling.paydays import month_end
from assistant.sheets.cash_curve import cash_picture
from assistant.sheets.writing import file_name

A_YEAR = timedelta(365)
TOLD = 6  # weeks or months that one message tells
LARGEST = 3  # payments named before the lowest point
HELPS = 4  # changes named that would lift it


def show_cash(shop: Shop, request: ShowCash, asked: Asked) -> Outcome:
    """Show what comes in, goes out and is left, by week or month, or as a picture."""
    if not shop.boxes:
        return answer(asked, (say.NO_PLAN,))
    ends = last_day(shop, asked.today)
    last = request.last or min(ends, month_end(asked.today + A_YEAR))
    found = cash(shop, asked.today, min(last, ends))
    if request.picture:
        return _picture(shop, found, request, asked)
    currency = profile_of(shop).currency
    steps = found.weeks if request.by == "week" else found.months
    wanted = say.next_steps(steps, request.first)
    paid = [one for one in wanted if one.into or one.out] if request.by == "week" else wanted
    told = say.week if request.by == "week" else say.month
    shown = paid[:TOLD]
    lines = (
        say.bank(found, currency),
        *(told(one, found, currency) for one in shown),
        say.quiet(len(wanted) - len(paid)),
        say.lowest(found, currency),
        say.plan_ends(found) if request.last and request.last > ends else "",
        say.without(found),
        say.caution(found, taxed=books_of(shop).tax is not None),
    )
    further = paid[TOLD:]
    more = says.show_cash(request.by, further[0].first, request.last) if further else ""
    buttons = (
        *((Button("Further", more),) if more else ()),
        Button("As a picture", says.show_cash(last=request.last, picture=True)),
        _other(request),
        Button("Tightest", says.tightest()),
    )
    return answer(asked, lines, buttons, title=say.title(found))


def _other(request: ShowCash) -> Button:
    """The same in the other steps."""
    if request.by == "week":
        return Button("By month", says.show_cash(last=request.last))
    return Button("By week", says.show_cash("week", last=request.last))


def _picture(shop: Shop, found: Cash, request: ShowCash, asked: Asked) -> Outcome:
    profile = profile_of(shop)
    content = cash_picture(found, profile.name, profile.currency)
    file = File(
        f"{asked.moment.ref}/cash", file_name(profile.name, "cash", asked.today, "png"), content
    )
    lines = (say.bank(found, profile.currency), say.lowest(found, profile.currency))
    buttons = (
        Button("By month", says.show_cash(last=request.last)),
        Button("By week", says.show_cash("week", last=request.last)),
        Button("What would help", says.what_moves_cash()),
    )
    reply = Reply(
        title=say.title(found),
        text="\n".join(lines),
        buttons=in_rows(buttons),
        photo=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


# --- the lowest point -----------------------------------------------------------------------


def tightest(shop: Shop, request: Tightest, asked: Asked) -> Outcome:
    """Say when the least is left, and the largest payments that lead to it."""
    del request
    if not shop.boxes:
        return answer(asked, (say.NO_PLAN,))
    found, currency = _whole(shop, asked.today), profile_of(shop).currency
    paid = (_line(shop, one, asked, currency) for one in before_lowest(found)[:LARGEST])
    lines = (
        *say.tightest(found, currency),
        *say.biggest(paid),
        say.without(found),
        "" if found.known else f"{say.ASK_BANK}.",
    )
    buttons = (
        Button("What would help", says.what_moves_cash()),
        Button("As a picture", says.show_cash(picture=True)),
        Button("By week", says.show_cash("week")),
    )
    return answer(asked, lines, buttons, title=say.TIGHTEST)


def _whole(shop: Shop, today: date) -> Cash:
    """The cash up to the end of the plan."""
    return cash(shop, today, last_day(shop, today))


def _line(shop: Shop, one: Flow, asked: Asked, currency: str) -> str:
    item = find(shop.items, one.items[0]) if len(one.items) == 1 else None
    what = item.name if item else supplier_name(shop, one.supplier)
    return say.flow(one, what, asked.today, currency)


def what_moves_cash(shop: Shop, request: WhatMovesCash, asked: Asked) -> Outcome:
    """Say what would lift the lowest point most: each reckoned on a copy of the plan."""
    del request
    if not shop.boxes:
        return answer(asked, (say.NO_PLAN,))
    found, currency = _whole(shop, asked.today), profile_of(shop).currency
    ways = reliefs(shop, asked.today, found.last)[:HELPS]
    helped = [
        say.relief(number, one, _who(shop, one), asked.today, currency)
        for number, one in enumerate(ways, 1)
    ]
    lines = (
        say.lowest(found, currency),
        *helped,
        say.ALONE if helped else say.NOTHING_HELPS,
        say.without(found),
    )
    buttons = (
        Button("Tightest", says.tightest()),
        Button("As a picture", says.show_cash(picture=True)),
    )
    return answer(asked, lines, buttons, title=say.HELPS)


def _who(shop: Shop, one: Relief) -> str:
    """The supplier that a change asks something of, or the item that it is about."""
    item = find(shop.items, one.flow.items[0]) if one.what == "fewer" else None
    return item.name if item else supplier_name(shop, one.flow.supplier)


HANDLERS: dict[type, Handler] = {
    ShowCash: show_cash,
    Tightest: tightest,
    WhatMovesCash: what_moves_cash,
    **terms.HANDLERS,
}
WRITES: frozenset[type] = terms.WRITES
