"""What boxes and items cost, and what would make a dear box cheaper.

Knows: which box, item or year a question is about. Must not know: how an answer is written
(replies/), how anything is reckoned (planning/). Invariant: nothing here changes anything; what
does is in books.py and postage.py, whose handlers belong to this room.
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import books, plan, postage
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer, in_rows
from assistant.conversation.handle.quotes import take_button
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.order_requests import Cheaper, ShowCosts
from assistant.conversation.replies import cheaper as say_cheaper
from assistant.conversation.replies import costs as say
from assistant.conversation.replies.plain import box_name, short
from assistant.conversation.replies.plan import item_gone
from assistant.conversation.sentences import costs as says
from assistant.conversation.sentences import quantities
from assistant.planning.accounts.cheaper import Way, cheaper
from assistant.planning.accounts.costs import BoxCost, box_cost, break_even, costs, total
from assistant.planning.accounts.landed import books_of, landed
from assistant.planning.accounts.money import in_own
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Shop
from assistant.planning.shipping import shipped
from assistant.sheets.cost_bars import CostSheet, cost_picture
from assistant.sheets.writing import file_name

WAYS = 5  # ways to make a box cheaper that one message tells
TOUCHED = 3  # ways that have buttons
OFFERED = 2  # boxes over their target that have buttons
LISTED = 12  # boxes that one message lists
LABEL = 24


def show_costs(shop: Shop, request: ShowCosts, asked: Asked) -> Outcome:
    """Tell what an item, a box or every box of a year costs."""
    if request.item:
        return _item(shop, request.item, asked)
    if request.box:
        return _box(shop, request.box, asked, whole=request.whole)
    return _boxes(shop, request, asked)


# --- one item, one box ----------------------------------------------------------------------


def _item(shop: Shop, id: str, asked: Asked) -> Outcome:
    item = find(shop.items, id)
    if item is None:
        return answer(asked, (item_gone(),))
    currency = profile_of(shop).currency
    lines = say.landed_lines(landed(shop, id, asked.today), currency, asked.today)
    buttons = (_cost_button(item.box, asked),)
    talk = about(asked, item=id, box=item.box)
    title = say.item_title(item.name, item.box, asked.today)
    return answer(asked, lines, buttons, title=title, talk=talk)


def _box(shop: Shop, box: str, asked: Asked, *, whole: bool) -> Outcome:
    found, currency = box_cost(shop, box, asked.today), profile_of(shop).currency
    names = _names(shop, box, asked)
    told = (
        tuple(say.every_item(found, names, currency))
        if whole
        else (
            say.dearest(found, names, currency),
            say.prices_alone(found, _prices(shop, found), currency),
        )
    )
    lines = (
        say.against_target(found, currency),
        *told,
        say.around(found, currency),
        say.posted(found, currency),
        say.result(found, currency),
        say.together(found, currency),
        _break_even(shop, (found,)),
        say.unknown(found, names, _sellers(shop, found)),
    )
    over = found.over is not None and found.over > 0 and not shipped(shop, box, asked.today)
    full = says.show_costs(box, whole=True)
    buttons = (
        *((Button("Make it cheaper", says.cheaper(box)),) if over else ()),
        *((Button("Every item", full),) if found.items and not whole else ()),
        Button("Costs of the year", says.show_costs()),
        plan.how_is(box, asked),
    )
    talk = about(asked, item="", box=box)
    return answer(asked, lines, buttons, title=say.title(box, asked.today), talk=talk)


def _prices(shop: Shop, found: BoxCost) -> Decimal:
    """What the pieces in one box cost by their prices alone, as far as landed costs are known."""
    prices = (
        in_own(shop, item.unit_cost * item.units, item.currency, one.landed.on)
        for one in found.items
        if one.cost is not None
        and (item := find(shop.items, one.item))
        and item.unit_cost is not None
    )
    return sum((price for price in prices if price is not None), Decimal(0))


def _sellers(shop: Shop, found: BoxCost) -> dict[str, str]:
    """The names of the suppliers of a box's items, by item."""
    inside = {one.item for one in found.items}
    return {i.id: supplier_name(shop, i.supplier) for i in shop.items if i.id in inside}


def _names(shop: Shop, box: str, asked: Asked, others: Iterable[str] = ()) -> dict[str, str]:
    """The names of a box's items, and of others, as a line of many names them."""
    wanted = set(others)
    return {
        item.id: say_cheaper.called(item.name, item.box, box, asked.today)
        for item in shop.items
        if item.box == box or item.id in wanted
    }


def _break_even(shop: Shop, found: Sequence[BoxCost]) -> str:
    """How many boxes carry a month's overhead, at what they leave on average."""
    overhead = books_of(shop).overhead
    known = [one for one in found if one.net is not None]
    if not overhead or not known:
        return ""
    number = Decimal(len(known))
    net = sum((one.net for one in known if one.net is not None), Decimal(0)) / number
    cost = sum((one.cost for one in known), Decimal(0)) / number
    return say.break_even(break_even(overhead, net, cost), overhead, profile_of(shop).currency)


# --- many boxes -----------------------------------------------------------------------------


def _boxes(shop: Shop, request: ShowCosts, asked: Asked) -> Outcome:
    found, currency = _of_year(shop, request.year, asked), profile_of(shop).currency
    if not found:
        return answer(asked, (say.NO_BOXES,))
    if request.picture:
        return _picture(shop, request.year, found, asked)
    if request.whole:
        return _every(shop, request.year, found, asked)
    high = sorted(
        (one for one in found if one.over is not None and one.over > 0),
        key=lambda one: -(one.over or 0),
    )
    lines = (
        *say.all_told(total(found), currency),
        say.extremes(found, currency, asked.today),
        say.over(found, currency, asked.today),
        say.least_left(found, currency, asked.today),
        _break_even(shop, found),
        say.all_unknown(found),
    )
    buttons = (
        Button("As a picture", says.draw_costs(request.year)),
        Button("Each box", says.show_costs(year=request.year, whole=True)),
        *(_cost_button(one.box, asked) for one in high[:OFFERED]),
    )
    return answer(asked, lines, buttons, title=say.year_title(request.year))


def _of_year(shop: Shop, year: int | None, asked: Asked) -> tuple[BoxCost, ...]:
    """The costs of a year's boxes, of all to come where none is named."""
    if year is None:
        return costs(shop, asked.today)
    ids = sorted(box.id for box in shop.boxes if box.id[:4] == str(year))
    return tuple(box_cost(shop, id, asked.today) for id in ids)


def _every(shop: Shop, year: int | None, found: Sequence[BoxCost], asked: Asked) -> Outcome:
    """A line for each box; more than one message holds as a text."""
    currency, title = profile_of(shop).currency, say.year_title(year)
    rows = [say.row(one, currency, asked.today) for one in found]
    buttons = (Button("As a picture", says.draw_costs(year)),)
    outcome = answer(asked, rows[:LISTED], buttons, title=title)
    if len(rows) <= LISTED:
        return outcome
    text = "\n".join((title, "", *rows))
    file = File(f"{asked.moment.ref}/costs", say.WHOLE_NAME, text.encode())
    rest = Reply(text=say.WHOLE, document=file.id, document_name=file.name)
    return replace(outcome, replies=(*outcome.replies, rest), files=(file,))


def _picture(shop: Shop, year: int | None, found: Sequence[BoxCost], asked: Asked) -> Outcome:
    """The bars of many boxes."""
    profile, title = profile_of(shop), say.year_title(year)
    themes = {box.id: box.theme for box in shop.boxes}
    named = tuple(themes.get(one.box, "") for one in found)
    content = cost_picture(CostSheet(profile.name, title, profile.currency, tuple(found), named))
    file = File(
        f"{asked.moment.ref}/bars", file_name(profile.name, "costs", asked.today, "png"), content
    )
    lines = (say.over(found, profile.currency, asked.today), say.all_unknown(found))
    reply = Reply(
        title=title,
        text="\n".join(filter(None, lines)),
        buttons=in_rows((Button("In words", says.show_costs(year=year)),)),
        photo=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


def _cost_button(box: str, asked: Asked) -> Button:
    return Button(f"Cost of {box_name(box, asked.today)}", says.show_costs(box))


# --- cheaper --------------------------------------------------------------------------------


def make_cheaper(shop: Shop, request: Cheaper, asked: Asked) -> Outcome:
    """Tell what would bring a box back under its target, the smallest that is enough first."""
    box, today, currency = request.box, asked.today, profile_of(shop).currency
    cost = _cost_button(box, asked)
    talk = about(asked, item="", box=box)
    if shipped(shop, box, today):
        return answer(asked, (say_cheaper.shipped(box, today),), (cost,), talk=talk)
    found = cheaper(shop, box, today)
    title = say_cheaper.title(found.box, currency, today)
    if not found.ways:
        nothing = (say_cheaper.none(found.box, today), say_cheaper.no_target(found))
        return answer(asked, nothing, (cost,), title=title, talk=talk)
    shown = found.ways[:WAYS]
    names = _names(shop, box, asked, (id for way in shown for id in way.others))
    lines = (
        *(
            say_cheaper.way(n, way, names, _seller(shop, way), currency)
            for n, way in enumerate(shown, 1)
        ),
        say_cheaper.enough(found, shown, currency),
        say_cheaper.LOT if any(way.how == "lot" for way in shown) else "",
        say_cheaper.no_target(found),
    )
    buttons = [one for way in shown for one in _touch(shop, way, names, asked)]
    return answer(asked, lines, (*buttons[:TOUCHED], cost), title=title, talk=talk)


def _touch(shop: Shop, way: Way, names: Mapping[str, str], asked: Asked) -> tuple[Button, ...]:
    """The button that goes a way, or tells more of it; none for an exchange of items."""
    name, item = short(names[way.item], LABEL), find(shop.items, way.item)
    if way.how == "offer" and (offer := find(shop.offers, way.offer)):
        return take_button(shop, offer, item, asked)
    if way.how == "break":
        set_to = quantities.set_quantity(shop, way.item, way.quantity)
        return (Button(f"{way.quantity:,} of {name}", set_to),)
    if way.how == "lot":
        return (Button(f"One lot: {name}", quantities.lots(shop, way.item)),)
    if way.how == "drop":
        return (Button(f"Drop {name}", sentences.drop(shop, way.item)),)
    return ()


def _seller(shop: Shop, way: Way) -> str:
    """The name of the supplier whose offer a way takes."""
    offer = find(shop.offers, way.offer)
    return supplier_name(shop, offer.supplier) if offer else ""


HANDLERS: dict[type, Handler] = {
    ShowCosts: show_costs,
    Cheaper: make_cheaper,
    **books.HANDLERS,
    **postage.HANDLERS,
}
WRITES: frozenset[type] = books.WRITES | postage.WRITES
