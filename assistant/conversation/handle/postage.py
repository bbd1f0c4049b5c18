"""Tables of postage and rates of currencies: told, shown, forgotten.

Knows: which table or rate a request changes, and when it must be refused. Must not know: how a line
is written (replies/postage), how a parcel is priced (accounts/postage). Invariants: a table keeps
its day, and a new day makes a new table that takes over what was not said anew; a rate keeps its
day too; what was before stays for the days before.
"""

from collections import Counter
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.conversation.handle import books
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, changed
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import (
    DropPostage,
    SetPostage,
    SetRate,
    ShowPostage,
    ShowRates,
)
from assistant.conversation.replies import postage as say
from assistant.conversation.replies.books import out_of_range
from assistant.conversation.sentences import costs as says
from assistant.planning.accounts.costs import costs
from assistant.planning.accounts.money import rate_on
from assistant.planning.accounts.postage import tables
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Band, Put, Rate, Remove, Shop, Tariff

SHOWN = 4  # services, and boxes, that one message tells
MOST_RATE = 100_000
NAME = 40  # characters of a service's name
EXAMPLE = "postage small parcel up to 2 kg 3.45"
BANDS_EACH = 30  # of one table


# --- postage --------------------------------------------------------------------------------


def set_postage(shop: Shop, request: SetPostage, asked: Asked) -> Outcome:
    """Set prices or the rule of a service's table, from a day on."""
    if refusal := _refused(request):
        return answer(asked, (refusal,))
    currency, today = profile_of(shop).currency, asked.today
    old = _table(shop, request, today)
    new = _with_said(old, request, today)
    if len(new.bands) > BANDS_EACH:
        return answer(asked, (out_of_range("bands", len(new.bands), 1, BANDS_EACH, EXAMPLE),))
    if new == old:
        return answer(asked, (say.as_before(new, currency, today),), (_all(),), stands=True)
    after = apply(shop, (Put(new),))
    stays = [one for one in new.bands if old and one in old.bands and new.since != old.since]
    first = (
        say.set_to(new, currency, today),
        say.rule(new),
        say.kept(stays, currency),
        "" if shop.tariffs else say.YOURS,
    )
    box = next((one for one in costs(after, today) if one.items), None)
    lines = (*first, say.posted(box, currency, today) if box and new.bands else "")
    buttons = (*((books.of_box(box, asked),) if box else ()), _all())
    return changed(shop, asked, (Put(new),), lines, buttons, brief=first)


def _table(shop: Shop, request: SetPostage, today: date) -> Tariff | None:
    """The table that is changed, or that a new one follows: the one that holds on the day."""
    mine = [one for one in shop.tariffs if one.service.casefold() == request.service.casefold()]
    held = tables(mine, request.since or today)
    return held[0] if held else min(mine, key=lambda one: one.since, default=None)


def _with_said(old: Tariff | None, request: SetPostage, today: date) -> Tariff:
    since = request.since or (old.since if old else today)
    name = old.service if old else request.service[:NAME]
    start = old or Tariff(id="", service=name, since=since)
    sized = {one.grams: one.mm for one in start.bands}
    bands = {one.grams: one for one in start.bands}
    for one in request.bands:
        bands[one.grams] = one if one.mm else replace(one, mm=sized.get(one.grams))
    told = {
        field: value
        for field in ("divisor", "side_mm", "step_grams", "above_cm3")
        if (value := getattr(request, field)) is not None
    }
    ordered = tuple(bands[grams] for grams in sorted(bands))
    id = f"{name.casefold()}/{since}"
    return replace(start, id=id, since=since, bands=ordered, **told)


def _refused(request: SetPostage) -> str:
    """Why a table cannot be meant, "" where it can."""
    bands: tuple[Band, ...] = request.bands
    ranges: tuple[tuple[str, Decimal | int | None, int, int], ...] = (
        *(("postage", one.price, 0, 10_000) for one in bands),
        *(("grams of a band", one.grams, 1, 100_000) for one in bands),
        ("a divisor", request.divisor, 100, 100_000),
        ("millimetres to round sides up to", request.side_mm, 1, 1_000),
        ("a step in grams", request.step_grams, 1, 50_000),
        ("cubic centimetres", request.above_cm3, 0, 10_000_000),
    )
    for what, value, least, most in ranges:
        if value is not None and not least <= value <= most:
            return out_of_range(what, value, least, most, EXAMPLE)
    return ""


def drop_postage(shop: Shop, request: DropPostage, asked: Asked) -> Outcome:
    """Forget every table of a service."""
    wanted = request.service.casefold()
    mine = [one for one in shop.tariffs if one.service.casefold() == wanted]
    if not mine:
        known = dict.fromkeys(one.service for one in shop.tariffs)
        return answer(asked, (say.gone(request.service, known),), (_all(),))
    changes = tuple(Remove("tariffs", one.id) for one in mine)
    line = say.dropped(mine[0].service, len(mine))
    return changed(shop, asked, changes, (line,), (_all(),))


def show_postage(shop: Shop, request: ShowPostage, asked: Asked) -> Outcome:
    """Show the tables that hold, those to come, and how the next boxes are posted."""
    del request
    currency, today = profile_of(shop).currency, asked.today
    if not shop.tariffs:
        return answer(asked, (say.NO_TABLES,), (books.reckoned_with(),))
    known = (*tables(shop.tariffs, today), *(one for one in shop.tariffs if one.since > today))
    lines = [
        line for one in known[:SHOWN] for line in (say.table(one, currency, today), say.rule(one))
    ]
    boxes = [one for one in costs(shop, today) if one.items][: SHOWN - 1]
    lines += [say.posted(one, currency, today) for one in boxes]
    forget = [
        Button(f"Forget {one.service}"[:NAME], says.drop_postage(one.service)) for one in known
    ]
    return answer(asked, lines, (*forget[:2], books.reckoned_with()), title=say.TABLES)


def _all() -> Button:
    return Button("Postage", says.show_postage())


# --- rates ----------------------------------------------------------------------------------


def set_rate(shop: Shop, request: SetRate, asked: Asked) -> Outcome:
    """Keep what one unit of a currency costs, from a day on."""
    own, on = profile_of(shop).currency, request.on or asked.today
    if request.currency == own:
        return answer(asked, (say.own_currency(own),))
    if not 0 < request.rate < MOST_RATE:
        return answer(asked, (say.no_such_rate(request.currency, f"{request.rate:f}"),))
    new = Rate(f"{request.currency}/{on}", request.currency, on, request.rate)
    buttons = (Button("Rates", says.show_rates()),)
    if find(shop.rates, new.id) == new:
        return answer(asked, (say.rate_stands(new, own, asked.today),), buttons, stands=True)
    was = rate_on(shop, request.currency, on)
    lines = (
        say.rate_set(new, own, asked.today, was if was and was.on <= on else None),
        say.counted_by(_in_use(shop)[request.currency], request.currency),
    )
    return changed(shop, asked, (Put(new),), lines, buttons, brief=lines[:1])


def show_rates(shop: Shop, request: ShowRates, asked: Asked) -> Outcome:
    """Show the newest rates of each currency, and currencies in use without one."""
    del request
    own, used = profile_of(shop).currency, _in_use(shop)
    newest = sorted(shop.rates, key=lambda one: (one.currency, one.on), reverse=True)
    currencies = dict.fromkeys(one.currency for one in reversed(newest))
    held = [rate_on(shop, currency, asked.today) for currency in currencies]
    coming = [one for one in newest if one.on > asked.today and one not in held]
    lines = [say.rate(one, own, asked.today) for one in (*held, *coming) if one]
    lines += [
        say.no_rate(currency, items, own)
        for currency, items in sorted(used.items())
        if currency not in currencies
    ]
    return answer(asked, lines or (say.NO_RATES,), (books.reckoned_with(),), title=say.RATES)


def _in_use(shop: Shop) -> Counter[str]:
    """How many items cost money of each other currency."""
    own = ("", profile_of(shop).currency)
    return Counter(item.currency for item in shop.items if item.currency not in own)


HANDLERS: dict[type, Handler] = {
    SetPostage: set_postage,
    DropPostage: drop_postage,
    ShowPostage: show_postage,
    SetRate: set_rate,
    ShowRates: show_rates,
}
WRITES: frozenset[type] = frozenset({SetPostage, DropPostage, SetRate})
