"""What is paid and received for the year plan, and on which day.

Knows: landed orders, suppliers' terms, deadlines and their ledger, expected boxes, renewals. Must
not know: what is in the bank (cash.py), words. Invariants: every amount is rounded to what is
really paid, once (money.to_pay), so that the parts of an order add up to it; what the ledger says
is paid is out; what is overdue is paid today; what is not known is named (`Gap`), never taken for
nothing; a discount for paying early is never taken for granted.

When: a deposit with the order; the balance by the supplier's terms, at dispatch where the deposit
(or that there is none) is all that is known of them, with the order where nothing is; carriage and
set-up with the order; duty and tax when the goods arrive; packaging and cards when they go to
print; postage on the ship day; overheads on the first of a month; renewals on the charge day, in
the bank some working days later. All this: common practice, no source.
"""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Literal

from assistant.planning.accounts.costs import BoxCost, box_cost, costs
from assistant.planning.accounts.landed import (
    HUNDRED,
    NOTHING,
    Landed,
    all_landed,
    books_of,
    landed,
)
from assistant.planning.accounts.money import to_pay
from assistant.planning.calendars import calendars
from assistant.planning.changes import profile_of
from assistant.planning.deadlines import by_key, deadlines, marks_of
from assistant.planning.model import Books, Box, Item, Record, Shop, Supplier
from assistant.planning.nudges import local_day
from assistant.planning.numbers.subscribers import paying
from assistant.planning.shipping import ORDER, shipped
from assistant.planning.year.contents import CARD, stage_of
from assistant.scheduling.paydays import day_of_month as day_of
from assistant.scheduling.paydays import due_on, month_end, months_between, paid_on, paid_out

What = Literal[
    "deposit",
    "balance",
    "goods",
    "carriage",
    "set-up",
    "duty",
    "import tax",
    "postage",
    "packaging",
    "overheads",
    "renewals",
    "sales",
]


class Flow(Record):
    """An amount that is paid (below zero) or received on a day, in the shop's currency. `items`
    (Item.id) are those that it is for; `overdue`: it should have been paid before today."""

    on: date
    amount: Decimal
    what: What
    box: str = ""
    supplier: str = ""
    items: tuple[str, ...] = ()
    overdue: bool = False


# What may not be known: `of` are Item.id or Box.id, by what is missing.
Missing = Literal["cost", "rate", "date", "items", "box price", "subscribers", "postage", "extras"]


class Gap(Record):
    """What the flows are without."""

    what: Missing
    of: tuple[str, ...]


def flows(shop: Shop, today: date, since: date, last: date) -> tuple[tuple[Flow, ...], list[Gap]]:
    """Return every flow after the day `since` up to the day `last`, by day, and what they are
    without. What is still to be paid counts from `today` on."""
    desk = _Desk(shop, today, since)
    found = [*desk.of_items(), *desk.of_boxes(), *desk.overheads(last)]
    kept = [one for one in found if one.amount and one.on <= last]
    return tuple(sorted(kept, key=lambda one: (one.on, one.amount))), desk.gaps()


class _Desk:
    """All of a shop that its flows follow from, looked up once."""

    def __init__(self, shop: Shop, today: date, since: date) -> None:
        self.shop, self.today, self.since = shop, today, since
        self.profile, self.books = profile_of(shop), books_of(shop)
        self.calendar = calendars(shop, today).shop
        self.due = by_key(deadlines(shop, today))
        self.marks = marks_of(shop.ledger)
        self.suppliers = {one.id: one for one in shop.suppliers}
        self.landed = all_landed(shop, today)
        self.boxes = sorted((box for box in shop.boxes if self._counts(box)), key=lambda b: b.id)
        self.costs: Mapping[str, BoxCost] = {one.box: one for one in costs(shop, today)}
        self.lacking: dict[Missing, list[str]] = {}

    def gaps(self) -> list[Gap]:
        """What was not known."""
        return [Gap(what, tuple(dict.fromkeys(of))) for what, of in self.lacking.items()]

    def _lacks(self, what: Missing, of: str) -> None:
        self.lacking.setdefault(what, []).append(of)

    def _counts(self, box: Box) -> bool:
        """Whether a box is still to ship, or shipped so lately that it may touch the bank."""
        gone = shipped(self.shop, box.id, self.today)
        return gone is None or gone > self.since

    def _pay(self, amount: Decimal) -> Decimal:
        return to_pay(amount, self.profile.currency)

    def _day(self, key: str, due: date | None = None) -> date | None:
        """When what hangs on a deadline is paid: its own day, another that is due, or, done, that
        of the ledger if it lies after the bank's; None for what is settled or has no date."""
        mark, found = self.marks.get(key), self.due.get(key)
        if mark is not None and mark.state == "not needed":
            return None
        if mark is not None and mark.state == "done":
            day = local_day(self.shop, mark.at) if mark.at else self.since
            return day if day > self.since else None
        if found is None or found.state != "open":
            return None
        return max(due or found.on, self.today)

    def _done_on(self, key: str) -> date | None:
        """The ledger's day of what is done."""
        mark = self.marks.get(key)
        done = mark is not None and mark.state == "done" and mark.at
        return local_day(self.shop, mark.at) if mark and mark.at and done else None

    # --- items ------------------------------------------------------------------------------

    def of_items(self) -> Iterator[Flow]:
        """What the orders of all items cost, those of shipped boxes as far as they are unpaid."""
        carriage: dict[tuple[str, str], list[tuple[Item, Landed, date | None]]] = {}
        for item in self.shop.items:
            order = f"{item.id}/{ORDER}"
            mark = self.marks.get(order)
            if mark is not None and mark.state == "not needed":
                continue
            found = self.landed.get(item.id)
            if found is None:
                if not any(f"{item.id}/{part}" in self.due for part in ("deposit", "balance")):
                    continue
                found = landed(self.shop, item.id, self.today)
            if not self._known(item, found):
                continue
            yield from self._goods(item, found, self.suppliers.get(item.supplier))
            yield from self._extras(item, found)
            carriage.setdefault((item.box, item.supplier), []).append(
                (item, found, self._day(order))
            )
        yield from self._carriage(carriage)

    def _known(self, item: Item, found: Landed) -> bool:
        """Whether an item's order can be reckoned; if not, what it lacks is noted."""
        for code in found.unknown:
            if code in ("price", "rate", "count"):
                self._lacks("rate" if code == "rate" else "cost", item.id)
                return False
            self._lacks("extras", item.id)
        if f"{item.id}/{ORDER}" not in self.due and item.id in self.landed:
            self._lacks("date", item.id)
        return bool(found.quantity)

    def _goods(self, item: Item, found: Landed, supplier: Supplier | None) -> Iterator[Flow]:
        """The goods: deposit and balance, or all of it at once."""
        whole = self._pay(found.goods)
        percent = (supplier.deposit_percent if supplier else None) or NOTHING
        waived = (mark := self.marks.get(f"{item.id}/deposit")) and mark.state == "not needed"
        deposit = NOTHING if waived else self._pay(found.goods * percent / HUNDRED)
        if deposit:
            ordered = self._done_on(f"{item.id}/{ORDER}")
            yield from self._flow("deposit", f"{item.id}/deposit", -deposit, item, ordered)
        if supplier is not None and supplier.net_days is not None:
            key, due = f"{item.id}/balance", self._balance_due(item, supplier)
            yield from self._flow("balance", key, deposit - whole, item, due)
        elif supplier is not None and supplier.deposit_percent is not None:
            yield from self._flow("balance", f"{item.id}/dispatch", deposit - whole, item)
        else:
            yield from self._flow("goods", f"{item.id}/{ORDER}", -whole, item)

    def _balance_due(self, item: Item, supplier: Supplier) -> date | None:
        """When a balance is due where its own deadline does not say it: from the ledger's day of
        dispatch."""
        gone = self._done_on(f"{item.id}/dispatch")
        if gone is None or supplier.net_days is None:
            return None
        due = due_on(gone, supplier.net_days, end_of_month=supplier.end_of_month)
        return paid_on(due, self.calendar)

    def _extras(self, item: Item, found: Landed) -> Iterator[Flow]:
        """What comes on top of the goods of one item."""
        extras: tuple[tuple[What, str, Decimal], ...] = (
            ("set-up", ORDER, found.setup),
            ("duty", "stock", found.duty),
            ("import tax", "stock", found.import_tax),
        )
        for what, stage, amount in extras:
            if amount:
                yield from self._flow(what, f"{item.id}/{stage}", -self._pay(amount), item)

    def _carriage(
        self, orders: dict[tuple[str, str], list[tuple[Item, Landed, date | None]]]
    ) -> Iterator[Flow]:
        """Carriage of each supplier's order for a box, with the first of its items."""
        for (box, supplier), lines in orders.items():
            fee = self._pay(sum((found.carriage for _, found, _ in lines), NOTHING))
            days = [day for _, _, day in lines if day is not None]
            if fee and len(days) == len(lines):
                ids = tuple(item.id for item, _, _ in lines)
                yield Flow(min(days), -fee, "carriage", box, supplier, ids)

    def _flow(
        self, what: What, key: str, amount: Decimal, item: Item, due: date | None = None
    ) -> Iterator[Flow]:
        on = self._day(key, due) if amount else None
        if on is not None:
            listed = self.due.get(key)
            late = listed is not None and listed.state == "open" and (due or listed.on) < self.today
            yield Flow(on, amount, what, item.box, item.supplier, (item.id,), late)

    # --- boxes ------------------------------------------------------------------------------

    def of_boxes(self) -> Iterator[Flow]:
        """What every box brings in, and what it costs beside its items."""
        filled = {item.box for item in self.shop.items}
        printed = stage_of(self.shop, CARD)
        sold: dict[str, int] = {}
        for group in self.shop.groups:
            if group.group == "one-off":
                sold[group.first] = sold.get(group.first, 0) + group.number
        for box in self.boxes:
            cost = self.costs.get(box.id) or box_cost(self.shop, box.id, self.today)
            if box.id not in filled and box.id in self.costs:
                self._lacks("items", box.id)
            yield from self._income(box, cost, sold.get(box.id, 0))
            if not cost.boxes:
                self._lacks("subscribers", box.id)
                continue
            if not cost.postage:
                self._lacks("postage", box.id)
            yield from self._of_box("postage", f"{box.id}/ship", cost.postage * cost.boxes, box)
            wrapped = (cost.packaging + cost.card) * cost.boxes
            key = f"{box.id}/{printed}" if printed else f"{box.id}/pack"
            yield from self._of_box("packaging", key, wrapped, box)

    def _of_box(self, what: What, key: str, amount: Decimal, box: Box) -> Iterator[Flow]:
        on = self._day(key) if amount else None
        if on is not None:
            yield Flow(on, -self._pay(amount), what, box.id)

    def _income(self, box: Box, cost: BoxCost, sold: int) -> Iterator[Flow]:
        """Renewals and boxes sold singly, less the fees of being paid, as they reach the bank."""
        if cost.price is None:
            self._lacks("box price", box.id)
            return
        on = paid_day(self.shop, self.books, box.id, self.today)
        if on <= self.since:
            return
        each, renewing = cost.price - cost.fees, paying(self.shop, box.id, self.today)
        yield Flow(on, self._pay(each * round(renewing)), "renewals", box.id)
        yield Flow(on, self._pay(each * sold), "sales", box.id)

    def overheads(self, last: date) -> Iterator[Flow]:
        """What each month costs beside its boxes."""
        if self.books.overhead:
            for year, month in months_between(self.since, last):
                if (on := date(year, month, 1)) > self.since:
                    yield Flow(on, -self._pay(self.books.overhead), "overheads")


def paid_day(shop: Shop, books: Books, box: str, today: date) -> date:
    """Return when the renewals of a box are in the bank."""
    house = shop.house
    day = house.charge_day if books.charge_day is None else books.charge_day
    after = house.payout_days if books.payout_days is None else books.payout_days
    charged = day_of(int(box[:4]), int(box[5:7]), day)
    return paid_out(charged, after, calendars(shop, today).shop)


def last_day(shop: Shop, today: date) -> date:
    """Return the last day of the plan: the end of the month of its last box or, if that is later,
    of the last that is to be done for it; at least of this month."""
    months = (date(int(box.id[:4]), int(box.id[5:7]), 1) for box in shop.boxes)
    due = (one.on for one in deadlines(shop, today)[-1:])
    return month_end(max((today, *months, *due)))
