"""All quantities, costs and cash of a plan: `python -m tests.bench orders`.

The made-up shop of bench_plan, 36 boxes of 8 items, with counts, churn, price breaks, cases,
carriage, duty, rates, postage and terms. Each is worked out from nothing, after one item changed,
and again; the baseline is one pass that only multiplies each item's price by the last count, as a
spreadsheet would. Times are the best of several runs, in milliseconds.
"""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from itertools import count

from msgspec.structs import replace

from assistant.planning.accounts.cash import cash
from assistant.planning.accounts.costs import costs
from assistant.planning.changes import profile_of
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Band, Books, Break, Count, Rate, Shop, Tariff
from assistant.planning.numbers.quantity import amounts
from assistant.planning.numbers.subscribers import forecast
from tests.bench.bench_plan import TODAY, best, plan

LAST = date(2030, 6, 30)


def shop_with_books() -> Shop:
    """The shop with all that its numbers and money rest on."""
    made = plan()
    cheaper = (Break(500, Decimal("2.90")), Break(1000, Decimal("2.60")))
    items = tuple(
        replace(item, quantity=None, breaks=cheaper, case_pack=24, minimum=100, grams=120)
        if n % 2
        else replace(item, quantity=None, grams=80)
        for n, item in enumerate(made.items)
    )
    suppliers = tuple(
        replace(one, carriage=Decimal(25), free_from=Decimal(2000), duty=Decimal(4), net_days=30)
        for one in made.suppliers
    )
    counts = tuple(
        Count(f"{on}", on, 400 + 3 * n)
        for n in range(6)
        for on in (TODAY - timedelta(days=30 * (6 - n)),)
    )
    books = Books(
        joins=Decimal(24),
        churn=Decimal(5),
        packaging=Decimal("0.85"),
        card=Decimal("0.20"),
        packaging_grams=110,
        fee_percent=Decimal("1.5"),
        fee_each=Decimal("0.20"),
        import_tax=Decimal(20),
        bank=Decimal(4200),
        bank_on=TODAY,
        overhead=Decimal(600),
    )
    bands = (Band(1000, Decimal("3.45")), Band(2000, Decimal("4.20")))
    return replace(
        made,
        items=items,
        suppliers=suppliers,
        counts=counts,
        books=(books,),
        tariffs=(Tariff("parcel/2026-01-01", "parcel", date(2026, 1, 1), bands),),
        rates=(Rate("EUR/2026-11-01", "EUR", date(2026, 11, 1), Decimal("0.86")),),
        profile=(replace(profile_of(made), price=Decimal(32), target=Decimal(12)),),
    )


def all_of_it(made: Shop, today: date) -> None:
    """Quantities, costs and cash of the plan."""
    amounts(made, today)
    costs(made, today)
    cash(made, today, LAST)


def after_an_item(made: Shop) -> Callable[[], object]:
    """All of it, each time after another price of one item."""
    prices = count(300)

    def work() -> None:
        first, *rest = made.items
        item = replace(first, unit_cost=Decimal(next(prices)) / 100)
        all_of_it(replace(made, items=(item, *rest)), TODAY)

    return work


def as_a_spreadsheet(made: Shop) -> Decimal:
    """Each item's price times the last count: no chance, no cases, no dates."""
    return sum((420 * (item.unit_cost or Decimal(0)) for item in made.items), Decimal(0))


def main() -> None:
    """Print the table."""
    made = shop_with_books()
    deadlines(made, TODAY)
    days = (TODAY + timedelta(days=n) for n in count(1))
    first = best(lambda: all_of_it(replace(made, items=(*made.items,)), TODAY), 5)
    print(f"{len(made.boxes)} boxes, {len(made.items)} items; ms, best of several runs")
    rows = (
        ("price x count, one pass", best(lambda: as_a_spreadsheet(made))),
        ("deadlines on a new morning", best(lambda: deadlines(made, next(days)))),
        ("subscribers of every box, new morning", best(lambda: forecast(made, next(days)))),
        ("quantities, new morning", best(lambda: amounts(made, next(days)))),
        ("costs, new morning", best(lambda: costs(made, next(days)))),
        ("cash of 43 months, new morning", best(lambda: cash(made, next(days), LAST))),
        ("all of it, new morning (target 30)", best(lambda: all_of_it(made, next(days)))),
        ("all of it, after an item changed", best(after_an_item(made))),
        ("all of it, the same items in another tuple", first),
        ("all of it, asked again", best(lambda: all_of_it(made, TODAY))),
    )
    base = rows[0][1]
    for what, took in rows:
        print(f"{what:45} {took:9.3f}   x{took / base:,.1f}")


if __name__ == "__main__":
    main()
