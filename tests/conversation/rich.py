"""A shop with money in every record that can hold some, in amounts that stand nowhere else, and how
money is found in what leaves with an outcome. Everything is invented.

Every utterance of the tables can be said in it by Mara, who owns it, and by Anna, who helps.
"""

import io
import re
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from assistant.conversation.messages import Outcome
from assistant.planning.changes import find
from assistant.planning.model import (
    Band,
    Books,
    Break,
    Draft,
    Entry,
    OfferRow,
    Profile,
    Purchase,
    Put,
    Rate,
    Record,
    RecurringType,
    Row,
    Sent,
    Shop,
    Spend,
    Tariff,
)
from assistant.planning.veiling import ALL_MONEY, INSIDE, MONEY
from tests.conversation.meant import CADDY, HOLDER, MAY_PIN, NOTEBOOK, PENCIL, SHOP, TALK, TEA
from tests.trade import offer

OWNER, HELPER = "terminal:you", "telegram:2"
NOW = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)
BISCUITS = "2027-03.oat biscuits"


def d(text: str) -> Decimal:
    return Decimal(text)


ITEMS: dict[str, dict[str, Any]] = {
    NOTEBOOK: {
        "unit_cost": d("3.17"),
        "breaks": (Break(500, d("2.93")), Break(1000, d("2.61"))),
        "setup": d("46.83"),
        "case_pack": 24,
    },
    BISCUITS: {"unit_cost": d("2.19"), "setup": d("17.29")},
    TEA: {"unit_cost": d("1.27"), "breaks": (Break(480, d("1.13")),)},
    MAY_PIN: {"unit_cost": d("1.79"), "currency": "EUR"},
    HOLDER: {"unit_cost": d("2.33")},
    CADDY: {"unit_cost": d("4.37"), "currency": "EUR"},
    PENCIL: {"unit_cost": d("0.83")},
}
SUPPLIERS: dict[str, dict[str, Any]] = {
    "aldermoor": {
        "minimum_value": d("263.71"),
        "carriage": d("18.37"),
        "free_from": d("731.19"),
        "duty": d("6.7"),
        "early_percent": d("2.3"),
        "early_days": 9,
        "net_days": 30,
        "spends": (Spend(d("5137.43"), d("4.7")),),
    },
    "brackenfold": {"carriage": d("7.83"), "minimum_value": d("141.27")},
    "hangfeng": {"duty": d("3.7"), "carriage": d("93.61"), "currency": "EUR"},
}
BOOKS = Books(
    short_cost=d("21.37"),
    storage=d("0.07"),
    order_cost=d("14.71"),
    packaging=d("0.87"),
    card=d("0.23"),
    packaging_grams=140,
    parcel_mm=(300, 220, 80),
    fee_percent=d("1.7"),
    fee_each=d("0.27"),
    tax=d("17.3"),
    bank=d("4321.67"),
    bank_on=date(2026, 11, 20),
    overhead=d("613.37"),
)
RATE = Rate("EUR/2026-11-02", "EUR", date(2026, 11, 2), d("0.8617"))
BANDS = Band(1000, d("3.67")), Band(2000, d("4.91"))
DRAFT = Draft(
    OWNER,
    "year.xlsx",
    NOW,
    rows=(Row("row 2", 7, item="map", unit_cost=d("5.39")),),
    offers=(OfferRow("row 3", "ink", price=d("6.73"), breaks=(Break(9, d("6.11")),)),),
    supplier="Aldermoor",
)


def _orders() -> Iterator[Any]:
    for one in SHOP.orders:
        dear = (replace(line, unit_price=d("3.23"), setup=d("47.91")) for line in one.lines)
        yield replace(one, carriage=d("19.37"), terms="313.57 with the order", lines=tuple(dear))


def _entries(shop: Shop) -> tuple[Entry, ...]:
    """A history with money in its words and changes, the owner's and the helper's."""
    item = find(shop.items, NOTEBOOK)
    assert item is not None
    before = replace(item, unit_cost=d("3.07"), setup=d("45.29"))
    fewer = replace(item, quantity=400)
    words = "notebook costs 3.17 and 46.83 set-up"
    return (
        Entry(3, NOW, "p1", words, (Put(item),), (Put(before),)),
        Entry(4, NOW, "p1", "a euro is 0.8617; \u00a34,321.67 in the bank", (Put(RATE),), ()),
        Entry(5, NOW, "p2", "notebook 450", (Put(item),), (Put(fewer),)),
    )


def _shop() -> Shop:
    items = tuple(replace(one, **ITEMS.get(one.id, {})) for one in SHOP.items)
    quotes = (replace(one, price=d("1.43"), setup=d("39.17")) for one in SHOP.offers)
    shop = replace(
        SHOP,
        profile=(Profile(price=d("33.71"), target=d("12.47"), subscribers=420),),
        items=items,
        suppliers=tuple(replace(one, **SUPPLIERS.get(one.id, {})) for one in SHOP.suppliers),
        orders=tuple(_orders()),
        offers=(*quotes, offer("Aldermoor: moss print 2.17, quoted 2026-11-20")),
        types=(RecurringType("tea", "tea", times=3, unit_cost=d("1.37")),),
        books=(BOOKS,),
        rates=(RATE,),
        tariffs=(Tariff("small/2026-11-02", "small", date(2026, 11, 2), BANDS),),
        purchases=(Purchase(HOLDER, 450, d("2.37"), ordered=date(2026, 11, 10)),),
        sent=(Sent("2026-10", date(2026, 10, 15), 400, cost=d("11.83"), planned_cost=d("11.59")),),
        variants=tuple(replace(one, items=items) for one in SHOP.variants),
        drafts=(DRAFT,),
        talks=(TALK, replace(TALK, id=HELPER)),
        version=5,
    )
    return replace(shop, recent=_entries(shop))


RICH = _shop()


# --- money in records -----------------------------------------------------------------------

HOLD_MONEY = (Break, Spend, Band, *ALL_MONEY)


def amounts(value: object, money: bool = False) -> Iterator[Decimal]:
    """All money in a record, however deep; in a field that is money, all numbers are."""
    if isinstance(value, Decimal) and money:
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from amounts(one, money)
    elif isinstance(value, Record):
        for name in value.__struct_fields__:
            named = name in MONEY.get(type(value), ()) or isinstance(value, HOLD_MONEY)
            yield from amounts(getattr(value, name), money or named)


SECRETS = frozenset(one for one in amounts(RICH) if one != one.to_integral_value())


def money_of(shop: Shop) -> dict[tuple[str, str, str], object]:
    """All that is money in a shop's plan, by table, id and field."""
    tables = ("profile", "suppliers", "items", "offers", "types", "books", "purchases", "orders")
    found: dict[tuple[str, str, str], object] = {}
    for table in (*tables, "sent", "rates", "tariffs"):
        for one in getattr(shop, table):
            kept = (*MONEY.get(type(one), ()), *INSIDE.get(type(one), ()))
            for field in one.__struct_fields__ if isinstance(one, ALL_MONEY) else kept:
                found[table, one.id, field] = getattr(one, field)
    return found


# --- money in words -------------------------------------------------------------------------

NUMBER = re.compile(r"\d[\d,]*\.\d+|\d[\d,]*")
_SIGN, _CODE = "[\u00a3\u20ac$\u00a5]", "(?:GBP|EUR|USD|JPY|CNY|pounds?)"
_SUM = r"((?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?)"
SIGNED = re.compile(rf"{_SIGN}\s?{_SUM}|\b{_SUM}\s?{_CODE}\b|\b{_CODE}\s{_SUM}")


def numbers(text: str) -> frozenset[Decimal]:
    """All numbers that stand in a text."""
    return frozenset(_number(one) for one in NUMBER.findall(text))


def _number(text: str) -> Decimal:
    return Decimal(text.rstrip(".,").replace(",", ""))


def spoken(text: str) -> frozenset[Decimal]:
    """The amounts that the words of a message may mean: "3,40" is 3.40, "80p" is 0.80, "460 for
    1,357" is 2.95 each."""
    plain = numbers(text) | numbers(text.replace(",", "."))
    each = {one / other for one in plain for other in plain if other > 1}
    return plain | {one / 100 for one in plain} | each


def signed(text: str) -> frozenset[Decimal]:
    """The numbers in a text that are said to be money."""
    return frozenset(_number(next(filter(None, one))) for one in SIGNED.findall(text))


def texts(outcome: Outcome) -> Iterable[str]:
    """Every text that leaves with an outcome: replies, buttons, names and words of files."""
    for reply in outcome.replies:
        yield from (reply.title, reply.text, reply.document_name)
        for button in (button for row in reply.buttons for button in row):
            yield from (button.label, button.says)
    for file in outcome.files:
        yield from (file.name, words(file.content))


def words(content: bytes) -> str:
    """The words of a file: of a page to print, of a workbook, or the text itself. A picture has
    none that could be read here."""
    if content.startswith(b"%PDF"):
        from pypdf import PdfReader

        return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    if content.startswith(b"PK"):
        from openpyxl import load_workbook

        cells = (c for s in load_workbook(io.BytesIO(content)) for row in s.rows for c in row)
        return "\n".join(str(cell.value) for cell in cells if cell.value is not None)
    return "" if content.startswith(b"\x89PNG") else content.decode()


def leaks(outcome: Outcome, heard: str) -> list[str]:
    """The texts of an outcome in which money of the shop's stands, or any money that was not
    spoken of."""
    own = spoken(heard)
    return [one for one in texts(outcome) if (numbers(one) & SECRETS | signed(one)) - own]
