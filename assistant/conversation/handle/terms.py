"""Terms of suppliers: told, and what paying early is worth.

Knows: which record terms change and when they must be refused. Must not know: how terms are
written (replies/), how a discount or cash is reckoned (planning/). Invariants: terms that cannot be
meant change nothing; terms of when to pay are told whole, so they take the place of those before;
what a change does to dates and to the lowest point of cash is told with it.
"""

from decimal import Decimal
from typing import Any

from msgspec.structs import asdict, replace

from assistant.conversation.handle import suppliers
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import new_supplier, supplier_called
from assistant.conversation.handle.outcomes import answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import SetTerms, WorthOfTerms
from assistant.conversation.replies import cash as say_cash
from assistant.conversation.replies import suppliers as say_suppliers
from assistant.conversation.replies import terms as say
from assistant.conversation.sentences import cash as says
from assistant.planning.accounts.cash import cash, last_day
from assistant.planning.accounts.landed import HUNDRED, books_of, is_abroad
from assistant.planning.accounts.money import in_own, to_pay
from assistant.planning.accounts.payments import Flow
from assistant.planning.accounts.terms import Worth, days_of_credit, gain, worth
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Change, Put, Shop, Spend, Supplier

MOST_OFF = 50  # percent for paying early; more is a slip


def set_terms(shop: Shop, request: SetTerms, asked: Asked) -> Outcome:
    """Note terms of a supplier; a name that is not known makes one."""
    known = supplier_called(shop, request.supplier)
    old = known or new_supplier(shop, asked, request.supplier)
    new = _with_said(old, request)
    if refusal := _refused(request, new):
        return answer(asked, (refusal,))
    if known and new == old:
        facts = suppliers.facts_of(shop, old)
        return answer(asked, (say_suppliers.nothing_new(old.name, facts),), stands=True)
    what = suppliers.differences(shop, known, new)
    change: tuple[Change, ...] = (Put(new),)
    lines = (
        say_suppliers.changed(old.name, what, new=known is None),
        "" if known else suppliers.near(shop, new),
        *_remarks(shop, request, new, asked),
        _shifted(shop, apply(shop, change), asked),
    )
    found = worth_of(new)
    asks = (Button("Is it worth it", says.worth_of_terms(new.name)),)
    buttons = asks if found and request.early_percent else ()
    return suppliers.told(shop, asked, change, *lines, buttons=buttons)


def _with_said(supplier: Supplier, request: SetTerms) -> Supplier:
    """The supplier with the terms that were said."""
    left_out = ("supplier", "spend")
    said: dict[str, Any] = {
        field: value
        for field, value in asdict(request).items()
        if value is not None and field not in left_out
    }
    if request.net_days is not None:
        said.setdefault("end_of_month", False)
    if request.early_percent == 0:
        said |= {"early_percent": None, "early_days": None}
    if request.carriage is not None:
        said.setdefault("free_from", None)
    if request.spend is not None:
        said["spends"] = _spends(supplier, request.spend)
    return replace(supplier, **said)


def _spends(supplier: Supplier, one: Spend) -> tuple[Spend, ...]:
    """The discounts for a year's spend with one more, by rising amount; of 0% it is gone."""
    others = [other for other in supplier.spends if other.amount != one.amount]
    kept = [*others, one] if one.percent else others
    return tuple(sorted(kept, key=lambda each: each.amount))


def _refused(request: SetTerms, new: Supplier) -> str:
    """Why terms cannot be meant, "" where they can."""
    if not new.early_percent:
        return ""
    if new.early_percent > MOST_OFF:
        return say.too_much(new.name, new.early_percent)
    if new.early_days is None:
        return say.no_early_days(new.name)
    net = new.net_days
    said = request.early_percent is not None or request.net_days is not None
    late = net is not None and new.early_days >= days_of_credit(net, end_of_month=new.end_of_month)
    return say.never_early(new.name, new.early_days, net or 0) if said and late else ""


def _remarks(shop: Shop, request: SetTerms, new: Supplier, asked: Asked) -> tuple[str, ...]:
    """What the owner should know of terms just told."""
    found = worth_of(new) if request.early_percent else None
    rated = in_own(shop, Decimal(1), request.currency or "", asked.today) is not None
    abroad = is_abroad(shop, new)
    return (
        say.in_short(found) if found else "",
        "" if rated else say.no_rate(request.currency or ""),
        "" if not request.duty or abroad else say.no_border(new.name),
        say.CUSTOMS if request.duty is not None and abroad else "",
    )


def _shifted(shop: Shop, after: Shop, asked: Asked) -> str:
    """How a change moves the lowest point of cash, "" where it does not."""
    last = max(last_day(shop, asked.today), last_day(after, asked.today))
    before, now = (cash(one, asked.today, last) for one in (shop, after))
    return say_cash.shifted(before, now, profile_of(shop).currency) if before.known else ""


# --- what paying early is worth -------------------------------------------------------------


def worth_of(supplier: Supplier) -> Worth | None:
    """Return what a supplier's discount for paying early is worth, None where there is none."""
    if not supplier.early_percent or supplier.early_days is None or supplier.net_days is None:
        return None
    credit = days_of_credit(supplier.net_days, end_of_month=supplier.end_of_month)
    return worth(supplier.early_percent, supplier.early_days, credit)


def worth_of_terms(shop: Shop, request: WorthOfTerms, asked: Asked) -> Outcome:
    """Say what paying a supplier early is worth a year, and on the balances of the plan."""
    supplier = find(shop.suppliers, request.supplier)
    if supplier is None:
        return answer(asked, (say_suppliers.unknown(request.supplier),))
    if not supplier.early_percent or supplier.early_days is None:
        return answer(asked, (say.none_known(supplier),))
    found = worth_of(supplier)
    if found is None or supplier.net_days is None:
        return answer(asked, (say.no_net(supplier),))
    books, currency = books_of(shop), profile_of(shop).currency
    interest = shop.house.interest if books.interest is None else books.interest
    amount, off = _balances(shop, supplier, asked), supplier.early_percent
    credit = supplier.early_days + found.days
    net = gain(amount, off, supplier.early_days, credit, interest / HUNDRED)
    lines = (
        f"{say.offer(supplier)}.",
        say.rate(found, end_of_month=supplier.end_of_month),
        say.against(found, interest, usual=books.interest is None),
        say.gained(
            amount, to_pay(amount * off / HUNDRED, currency), to_pay(net, currency), currency
        ),
    )
    buttons = (Button("When is money tightest", says.tightest()),)
    return answer(asked, lines, buttons, title=say.heading(supplier))


def _balances(shop: Shop, supplier: Supplier, asked: Asked) -> Decimal:
    """What is still to be paid to a supplier on its terms, in the shop's currency."""
    flows: tuple[Flow, ...] = cash(shop, asked.today, last_day(shop, asked.today)).flows
    owed = (one for one in flows if one.supplier == supplier.id and one.what == "balance")
    return sum((-one.amount for one in owed if one.on >= asked.today), Decimal(0))


HANDLERS: dict[type, Handler] = {SetTerms: set_terms, WorthOfTerms: worth_of_terms}
WRITES: frozenset[type] = frozenset({SetTerms})
