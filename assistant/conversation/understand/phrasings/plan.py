"""Ways to say what belongs in the year plan: themes, items, moves, swaps, ship dates.

Knows: requests of the plan. Must not know: how a line is matched. Invariants: the complete ways
stand before those that lack something; each example is understood as its row.
"""

from datetime import date

from assistant.conversation.replies.plain import MONTHS, full_day
from assistant.conversation.requests import (
    AddItem,
    ChangeItem,
    DropItem,
    ItemFacts,
    MoveItem,
    SetShipDate,
    SetShipRule,
    SetTheme,
    SwapBoxes,
)
from assistant.conversation.sentences import item_name
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.boxes import next_boxes
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.facts import perhaps_an_offer, read_facts
from assistant.conversation.understand.reading import Built, Phrasing
from assistant.conversation.understand.unclear import Unclear, in_a_sentence
from assistant.planning.model import Lead
from assistant.scheduling.shipdays import parse_rule
from assistant.scheduling.weeks import Problem

_MOST_THEME = 200  # characters
_FAR = 45  # days that a ship date may lie outside its month


def _theme(_c: Context, box: str, theme: str) -> Built:
    if len(theme) > _MOST_THEME:
        return Unclear(f"a theme has at most {_MOST_THEME} characters")
    return SetTheme(box, theme)


def _add(c: Context, box: str, facts: str, more: str = "") -> Built:
    found = read_facts(f"{facts}, {more}" if more else facts, c)
    if isinstance(found, Unclear):
        return found
    return perhaps_an_offer(found.name, box, c) or AddItem(box, found)


def _change(c: Context, item: str, facts: str) -> Built:
    found = read_facts(facts, c, named=False)
    return found if isinstance(found, Unclear) else ChangeItem(item, found)


def _maybe_change(c: Context, item: str, facts: str) -> Built:
    """A change where all of it can be read; else the words mean something else."""
    found = read_facts(facts, c, named=False)
    return None if isinstance(found, Unclear) else ChangeItem(item, found)


def _cost(_c: Context, item: str, cost: Price) -> Built:
    return ChangeItem(item, ItemFacts(unit_cost=cost.amount, currency=cost.currency))


def _lead(_c: Context, item: str, lead: Lead | int) -> Built:
    return ChangeItem(item, ItemFacts(lead=Lead(lead) if isinstance(lead, int) else lead))


def _made(_c: Context, item: str, country: str) -> Built:
    return ChangeItem(item, ItemFacts(made_in=country.partition("/")[0]))


def _rename(_c: Context, item: str, name: str) -> Built:
    if len(name) > 120:
        return Unclear("that name is longer than 120 characters")
    return ChangeItem(item, ItemFacts(name=name))


def _how_many(c: Context, count: int, item: str) -> Built:
    says = f"{item_name(c.shop, item)} quantity {count}"
    return Unclear("I am not sure that you want to order so many", ((says[:40], says),), whole=True)


def _swap(_c: Context, first: str, second: str) -> Built:
    return Unclear("both are the same box") if first == second else SwapBoxes(first, second)


def _rule(_c: Context, rule: str) -> Built:
    found = parse_rule(rule)
    if isinstance(found, Problem):
        return Unclear(in_a_sentence(found.sentence))
    return SetShipRule(found.text())


def _maybe_rule(c: Context, rule: str) -> Built:
    """A ship day where it can be read; else the words mean something else."""
    found = _rule(c, rule)
    return None if isinstance(found, Unclear) else found


def _ship_on(c: Context, box: str, day: str) -> Built:
    """A ship date; one without a month is in the box's month, one without a year near it."""
    month = date(int(box[:4]), int(box[5:7]), 1)
    on = read_day(day, c.today) if _relative(day) else read_day(day, month, near=month)
    if not isinstance(on, date):
        return on
    if on < c.today:
        return Unclear(f"{full_day(on)} is in the past")
    if not -_FAR <= (on - month).days <= 31 + _FAR:
        return Unclear(f"{full_day(on)} is far from {MONTHS[month.month - 1]} {month.year}")
    return SetShipDate(box, on)


def _relative(day: str) -> bool:
    """Whether a day is told from today, not from the box."""
    return not any(letter.isdecimal() for letter in day) or day.lower().startswith("in ")


def _which_of_three(_c: Context, box: str, words: str) -> Built:
    month = MONTHS[int(box[5:7]) - 1]
    offers = (
        ("Theme", f"{box} theme {words}"),
        ("Item", f"add to {box}: {words}"),
        ("Idea", f"idea for {month}: {words}"),
    )
    return Unclear("I do not know if it is a theme, an item or an idea", offers, whole=True)


def _add_where(c: Context, facts: str) -> Built:
    found = read_facts(facts, c)
    if isinstance(found, Unclear):
        return found
    offers = tuple((label, f"add to {id}: {facts}") for label, id in next_boxes(c))
    return Unclear("I do not know to which month", offers, whole=True)


def _move_where(c: Context, item: str) -> Built:
    name = item_name(c.shop, item)
    here = next(one.box for one in c.shop.items if one.id == item)
    offers = tuple((label, f"move {name} to {id}") for label, id in next_boxes(c, but=here))
    return Unclear("I do not know to which month", offers, whole=True)


_THEME = "a theme, {theme}"
_THEME_EXAMPLE = "March theme rain and roots"
_ADD = "add to March: field notebook from Aldermoor, 3.10, 20 working days"
_SHIP = "ship March on the 12th"

TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "theme",
        """
        {box:box}['s] theme[ is| to| will be| should be| =][:] {theme:text}
        [set |change |make ][the ]theme (of|for|in) {box:box}[ is| to| as|:] {theme:text}
        theme {box:month}[:|-] {theme:text}
        call {box:month} {theme:text}
        """,
        _theme,
        _THEME,
        _THEME_EXAMPLE,
    ),
    Phrasing(
        "add",
        """
        (add|put|plan) (to|in|into|for) {box:box}(:|,) {facts:facts}
        (add|put|plan) (to|in|into|for) {box:month} {facts:facts}
        {box:month}[:| -] add[:] {facts:facts}
        (item|new item) (for|in) {box:month}(:|,) {facts:facts}
        (add|plan) [a new item |item ]{facts:somefacts} (to|into) [the ]{box:box}(:|,) {more:facts}
        (add|plan) [a new item |item ]{facts:somefacts} (for|in) {box:month}(:|,) {more:facts}
        (add|plan) [a new item |item ]{facts:facts} (to|into) [the ]{box:box}
        (add|plan) [a new item |item ]{facts:facts} (for|in) {box:month}
        (add|plan) [a new item |item ]{facts:somefacts} (to|into|for|in) {box:month} {more:facts}
        """,
        _add,
        "an item, {facts}",
        _ADD,
    ),
    Phrasing(
        "swap",
        """
        (swap|exchange|switch) [round ]{first:box} (and|with|for) {second:box}
        """,
        _swap,
        "a swap of {first} and {second}",
        "swap March and May",
    ),
    Phrasing(
        "move",
        """
        (move|shift|push) {item:item} (to|into) {box:box}
        put {item:knownitem} (in|into) {box:month} instead
        """,
        lambda _c, item, box: MoveItem(item, box),
        "a move of {item} to {box}",
        "move the notebook to May",
    ),
    Phrasing(
        "drop",
        """
        (drop|remove|delete|cut) {item:item} (from|out of) the plan
        (drop|remove|delete|take out|cut) {item:item}
        take {item:item} out[ of the plan]
        """,
        lambda _c, item: DropItem(item),
        "an item to drop, {item}",
        "drop the notebook from the plan",
    ),
    Phrasing(
        "rename",
        "rename {item:knownitem} (to|as|into) {name:text}",
        _rename,
        "a new name for {item}",
        "rename the notebook to pocket notebook",
    ),
    Phrasing(
        "cost",
        """
        [the ](price|cost) of {item:item} (is|is now|to) {cost:money}[ each| a piece]
        (change|set|make) [the ]{item:item} (price|cost) [to |at ]{cost:money}[ each| a piece]
        {item:item} (costs|cost) {cost:money}[ each| a piece| apiece| per piece]
        {item:item} (costs now|now costs|is now) {cost:money}[ each| a piece| apiece| per piece]
        {item:item} (price|price is|is priced at) {cost:money}[ each| a piece| apiece| per piece]
        {item:knownitem}[ is| at| is now] {cost:money} (each|a piece|apiece|per piece)
        """,
        _cost,
        "a price of {item}",
        "the price of the notebook is 3.40",
    ),
    Phrasing(
        "lead",
        """
        {item:knownitem}['s] (lead|lead time|lead-time|leadtime)[ is| now| is now][:] {lead:lead}
        {item:knownitem}['s] (lead|lead time)[ is][:] {lead:count}
        [the ]lead time of {item:knownitem} (is|is now|to) {lead:lead}
        {item:knownitem} (takes|needs) {lead:lead}[ to make]
        """,
        _lead,
        "a lead time of {item}",
        "notebook lead time 25 working days",
    ),
    Phrasing(
        "made",
        """
        {item:knownitem} [is |are ]made in {country:country}
        """,
        _made,
        "where {item} is made",
        "notebook is made in Japan",
    ),
    Phrasing(
        "from",
        """
        {item:knownitem} (is|are|comes|come|now comes|is now) from {supplier:supplier}
        {item:knownitem} from {supplier:supplier}
        """,
        lambda _c, item, supplier: ChangeItem(item, ItemFacts(supplier=supplier)),
        "a supplier for {item}",
        "notebook is from Brackenfold",
    ),
    Phrasing(
        "quantity",
        """
        {item:knownitem} (quantity|qty|number)[ is| to][:] {count:count}[ pieces]
        (quantity|number) of {item:knownitem} (is|to) {count:count}
        """,
        lambda _c, item, count: ChangeItem(item, ItemFacts(quantity=count)),
        "a quantity of {item}",
        "notebook quantity 450",
    ),
    Phrasing(
        "kind",
        """
        {item:knownitem}['s] type[ is][:] {type:text}
        """,
        lambda _c, item, type: ChangeItem(item, ItemFacts(type=type)),
        "a type of {item}",
        "notebook type stationery",
    ),
    Phrasing(
        "form",
        """
        {item:knownitem}['s] form[ is][:] {form:text}
        """,
        lambda _c, item, form: ChangeItem(item, ItemFacts(form=form)),
        "a form of {item}",
        "notebook form A6",
    ),
    Phrasing(
        "change",
        """
        change {item:item}(:|,) {facts:facts}
        """,
        _change,
        "a change of {item}",
        "change the notebook: 3.40, 25 working days",
    ),
    Phrasing(
        "change",
        """
        change {item:knownitem} (to|so it is) {facts:facts}
        """,
        _maybe_change,
        "a change of {item}",
        "change the notebook to 3.40 each",
    ),
    Phrasing(
        "rule",
        """
        [the |our ]ship (day|days|date|rule)[ is| are| to][ on][:] {rule:text}
        """,
        _rule,
        "a ship day, {rule}",
        "ship day the 15th or the working day before",
    ),
    Phrasing(
        "rule",
        """
        [we |boxes ](ship|send|post) [them ][out ][every month ][on ]{rule:text}
        (all boxes|the boxes) (ship|send|post) [them ][out ][every month ][on ]{rule:text}
        """,
        _maybe_rule,
        "a ship day, {rule}",
        "we ship on the second Tuesday",
    ),
    Phrasing(
        "by rule",
        """
        {box:box} ships (by the rule|by the rule again|as usual|as usual again|on the usual day)
        ship {box:box} (by the rule|by the rule again|as usual|on the usual day)
        """,
        lambda _c, box: SetShipDate(box, None),
        "a ship day by the rule",
        "March ships by the rule again",
    ),
    Phrasing(
        "ship date",
        """
        (ship|send|post) {box:box} (on|by) {day:words}
        (ship|send|post) {box:month} {day:words}
        {box:box} (ships|will ship|goes out) [on ]{day:words}
        {box:box} ship (day|date)[ is| to][:] {day:words}
        """,
        _ship_on,
        "a ship date for {box}",
        _SHIP,
    ),
)

HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "add",
        """
        (add|plan) [a new item |item ]{facts:facts}
        """,
        _add_where,
        "an item, {facts}",
        _ADD,
        half=True,
    ),
    Phrasing(
        "rename",
        "rename {item:item} (to|as|into) {name:text}",
        _rename,
        "a new name for {item}",
        "rename the notebook to pocket notebook",
        half=True,
    ),
    Phrasing(
        "move",
        """
        move {item:item}
        """,
        _move_where,
        "a move of {item}",
        "move the notebook to May",
        half=True,
    ),
    Phrasing(
        "month and words",
        """
        {box:month}(:| -) {words:text}
        """,
        _which_of_three,
        "something for {box}",
        _THEME_EXAMPLE,
        half=True,
    ),
    Phrasing(
        "count of",
        """
        {count:count} {item:knownitem}
        """,
        _how_many,
        "a number of {item}",
        "notebook quantity 450",
        half=True,
    ),
)
