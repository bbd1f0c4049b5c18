"""The facts of a purchase order, written for the page and for the text alike.

Knows: an order, its shop and its supplier. Must not know: where on a page a word stands, what was
asked in a chat. Invariants: every fact is written here once; dates carry weekday and year; amounts
are in the order's currency, which is named once; what is not known is said, never left blank.
"""

from collections.abc import Iterable
from decimal import Decimal

from assistant.planning.accounts.money import DIGITS
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Order, OrderLine, Record, Shop, Supplier
from assistant.planning.trade.orders import address, totals
from assistant.scheduling.countries import country_name
from assistant.scheduling.weeks import MONTHS
from assistant.sheets.writing import file_name as named
from assistant.sheets.writing import full_day, plural

TITLE = "Purchase order"
NOT_NAMED = "to be named"
NOT_AGREED = "to be agreed"
TERMS_AS_AGREED = "As agreed."
REPLACES = "It replaces the order of this number that was sent before."
WITHDRAWN = "Withdrawn: please do not supply."
COLUMNS = ("No", "Item", "Pieces", "Price", "Amount")


class Row(Record):
    """One line of an order as it is written; `details` are options, and for which box it is where
    the same goods stand there twice."""

    number: str
    name: str
    details: tuple[str, ...]
    pieces: str
    price: str
    amount: str


class Facts(Record):
    """A whole order as it is written; `facts` and `sums` are (label, value), the total last."""

    shop: str
    number: str
    supplier: tuple[str, ...]
    deliver_to: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]
    sums: tuple[tuple[str, str], ...]
    terms: str
    remark: str = ""

    @property
    def called(self) -> str:
        """Its number with its revision, "2027-004, revision 1"."""
        revision = dict(self.facts).get("Revision")
        return f"{self.number}, revision {revision}" if revision else self.number


def facts(shop: Shop, order: Order) -> Facts:
    """Write down what stands on an order."""
    profile, sums = profile_of(shop), totals(order)
    supplier = find(shop.suppliers, order.supplier)
    named = [line.name for line in order.lines]
    again = {name for name in named if named.count(name) > 1}
    revision = (("Revision", str(order.revision)),) if order.revision else ()
    in_hand = full_day(order.in_hand) if order.in_hand else NOT_AGREED
    rows = zip(order.lines, sums.lines, strict=True)
    return Facts(
        shop=profile.name,
        number=order.id,
        supplier=_supplier(supplier, profile.country),
        deliver_to=_address(address(shop, order)),
        facts=(
            ("Number", order.id),
            *revision,
            ("Date", full_day(order.on)),
            ("All in hand by", in_hand),
            ("Currency", order.currency),
        ),
        rows=tuple(
            _row(number, line, amount, order.currency, line.name in again)
            for number, (line, amount) in enumerate(rows, 1)
        ),
        sums=_sums(order),
        terms=order.terms or TERMS_AS_AGREED,
        remark=WITHDRAWN if order.dropped else REPLACES if order.revision else "",
    )


def _supplier(supplier: Supplier | None, home: str) -> tuple[str, ...]:
    if supplier is None:
        return (NOT_NAMED,)
    abroad = supplier.country not in ("", home)
    country = (country_name(supplier.country) or supplier.country) if abroad else ""
    return (supplier.name, country) if country else (supplier.name,)


def _address(text: str) -> tuple[str, ...]:
    return tuple(part for one in text.split(",") if (part := one.strip())) or (NOT_NAMED,)


def _row(number: int, line: OrderLine, amount: Decimal | None, currency: str, twice: bool) -> Row:
    month = f"for {MONTHS[int(line.box[5:7]) - 1]} {line.box[:4]}" if twice and line.box else ""
    options = ", ".join(f"{name} {pieces:,}" for name, pieces in line.shares)
    set_up = f"set-up, once: {figure(line.setup, currency)}" if line.setup else ""
    return Row(
        number=str(number),
        name=line.name,
        details=tuple(filter(None, (options, month, set_up))),
        pieces=f"{line.quantity:,}",
        price=NOT_AGREED if line.unit_price is None else figure(line.unit_price, currency),
        amount="" if amount is None else figure(amount, currency),
    )


def _sums(order: Order) -> tuple[tuple[str, str], ...]:
    sums, currency = totals(order), order.currency
    parts: list[tuple[str, str]] = [("Goods", figure(sums.goods, currency))]
    if sums.setup:
        parts.append(("Set-up", figure(sums.setup, currency)))
    if sums.carriage is not None:
        parts.append(("Carriage", figure(sums.carriage, currency) if sums.carriage else "free"))
    of = " of the priced lines" if sums.unpriced else ""
    before = ", before carriage" if sums.carriage is None else ""
    return (*parts, (f"Total {currency}{of}{before}", figure(sums.total, currency)))


def figure(amount: Decimal, currency: str) -> str:
    """Write an amount without its currency: all its digits, and at least those of the currency's
    smallest unit: "3.10", "0.125", "1,200"."""
    least = DIGITS.get(currency, 2)
    exponent = amount.normalize().as_tuple().exponent
    digits = max(least, -exponent if isinstance(exponent, int) else 0)
    return f"{amount:,.{digits}f}"


def terms(supplier: Supplier | None) -> str:
    """Write a supplier's terms: when what has to be paid. "" where none are known."""
    if supplier is None:
        return ""
    parts: list[str] = []
    deposit = supplier.deposit_percent or Decimal(0)
    if deposit:
        parts.append(f"{_percent(deposit)} deposit with the order")
    if supplier.net_days is not None:
        what = "balance due" if deposit else "due"
        parts.append(f"{what} {_due(supplier.net_days, supplier.end_of_month)}")
    if supplier.early_percent and supplier.early_days is not None:
        within = plural(supplier.early_days, "day")
        parts.append(f"{_percent(supplier.early_percent)} off if paid within {within}")
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _percent(number: Decimal) -> str:
    return f"{number.normalize():f}%"


def _due(days: int, end_of_month: bool) -> str:
    start = "the end of the month of dispatch" if end_of_month else "dispatch"
    if not days:
        return f"at {start}" if end_of_month else "on dispatch"
    return f"{plural(days, 'day')} after {start}"


def file_name(written: Facts, order: Order, ending: str) -> str:
    """Name the file of an order by shop, what it is, number and day, in safe characters."""
    return named(written.shop, f"purchase order {written.called}", order.on, ending)


# --- as text --------------------------------------------------------------------------------


def text(written: Facts) -> str:
    """Return an order as plain text, to be pasted into a letter: every fact that is on the page."""
    return "\n".join(
        (
            f"{TITLE} {written.called}",
            *((written.remark,) if written.remark else ()),
            "",
            f"From: {_line(written.shop)}",
            f"To: {', '.join(map(_line, written.supplier))}",
            "Deliver to:",
            *(f"  {_line(one)}" for one in written.deliver_to),
            *(f"{label}: {value}" for label, value in written.facts[1:]),
            "",
            *(one for row in written.rows for one in _as_text(row)),
            "",
            *(f"{label}: {value}" for label, value in written.sums),
            "",
            f"Terms: {_line(written.terms)}",
        )
    )


def _as_text(row: Row) -> Iterable[str]:
    worth = f" = {row.amount}" if row.amount else ""
    price = f" at {row.price}" if row.amount else f", price {row.price}"
    indent = " " * (len(row.number) + 2)
    return (
        f"{row.number}. {_line(row.name)}",
        f"{indent}{row.pieces} {'piece' if row.pieces == '1' else 'pieces'}{price}{worth}",
        *(f"{indent}{_line(one)}" for one in row.details),
    )


def _line(words: str) -> str:
    return " ".join(words.split())
