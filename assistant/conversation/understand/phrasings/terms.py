"""Ways to say a supplier's terms: when it is paid, what it takes off, what comes on top.

Knows: requests of terms. Must not know: how a line is matched. Invariants: plain days net stay with
suppliers.py; an amount is in the supplier's one currency, and one said in another is no term; terms
that cannot be read are asked back, never half taken.
"""

import re
from decimal import Decimal

from assistant.conversation.order_requests import SetTerms, WorthOfTerms
from assistant.conversation.sentences import one_line
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_supplier
from assistant.conversation.understand.reading import Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import profile_of
from assistant.planning.model import Spend, Supplier

_NET = re.compile(r"(?:net|n|balance)?[ /]{0,2}(\d{1,3})(?: days)?", re.IGNORECASE)


def _net_days(text: str, _c: Context) -> int | None:
    found = _NET.fullmatch(text.strip())
    return int(found[1]) if found else None


def _quoted(text: str, c: Context) -> str | None:
    """The id of the supplier that a button's sentence names in quotes."""
    said = text.strip('"')
    names = ((one_line(one.name).replace('"', "'"), one.id) for one in c.shop.suppliers)
    return next((id for name, id in names if name == said), None)


KINDS: dict[str, Kind] = {
    "netterm": Kind(r"(?:net|n)[ /]{0,2}\d{1,3}(?: days)?", _net_days),
    "netdays": Kind(r"\d{1,3}(?: days)?", _net_days),
    "earlydays": Kind(r"\d{1,3}", _net_days),
    "paidsupplier": Kind(r'"[^"]{1,200}"', _quoted),
}


def _early(
    _c: Context, supplier: str, percent: Decimal, early: int | None = None, net: int | None = None
) -> Built:
    return SetTerms(supplier, early_percent=percent, early_days=early, net_days=net)


def _early_end(c: Context, supplier: str, percent: Decimal, early: int, net: int) -> Built:
    del c
    return SetTerms(
        supplier, early_percent=percent, early_days=early, net_days=net, end_of_month=True
    )


def _end_of_month(_c: Context, supplier: str, net: int = 0) -> Built:
    return SetTerms(supplier, net_days=net, end_of_month=True)


def _own(c: Context, supplier: str, *prices: Price | None) -> Unclear | None:
    """Why amounts cannot be the supplier's: one is in another currency than its own."""
    said = known_supplier(supplier, c)
    known = next((one for one in c.shop.suppliers if one.name == said), None)
    currency = _currency(c, known)
    other = next((p.currency for p in prices if p and p.currency not in ("", currency)), "")
    if not other:
        return None
    first = f"{supplier} prices are in {other}"
    return Unclear(f"its amounts are in {currency}; say first: {first}")


def _currency(c: Context, supplier: Supplier | None) -> str:
    own = profile_of(c.shop).currency
    return (supplier.currency if supplier else "") or own


def _carriage(
    c: Context, supplier: str, carriage: Price | None = None, free: Price | None = None
) -> Built:
    if other := _own(c, supplier, carriage, free):
        return other
    if carriage is None and free is None:
        return SetTerms(supplier, carriage=Decimal(0))
    return SetTerms(
        supplier,
        carriage=carriage.amount if carriage else None,
        free_from=free.amount if free else None,
    )


def _minimum(c: Context, supplier: str, value: Price) -> Built:
    return _own(c, supplier, value) or SetTerms(supplier, minimum_value=value.amount)


def _spend(c: Context, supplier: str, percent: Decimal, amount: Price) -> Built:
    return _own(c, supplier, amount) or SetTerms(supplier, spend=Spend(amount.amount, percent))


def _unread(_c: Context, supplier: str, terms: str) -> Built:
    del supplier
    said = terms.replace('"', "'")[:40]
    return Unclear(f'I cannot read "{said}" as terms')


_EARLY = "Aldermoor 2/10 net 30"
_END = "Aldermoor net 30 end of month"
_CARRIAGE = "Aldermoor carriage 25, free from 500"
_BY_SLASH = "{supplier:supplier}[ terms][ are| is][:] {percent:percent}[%][ ]/[ ]{early:earlydays}"
_WITHIN = "(within|in|for payment in|for payment within|if paid in|if paid within)"
_MONTH = "(end of month|end of the month|eom|month end|from end of month|from the end of the month)"
_AFTER_MONTH = "(after the end of the month|after month end|after end of month)"
_OFF = "{percent:percent}[ ](%|percent|per cent)[ off| discount]"
_IN_HUNDRED = "[ ][%][percent| per cent]"
_SUPPLIER, _KNOWN = "{supplier:supplier}", "{supplier:known}"
_GIVES = "(takes|gives|offers|allows)"
_IS = "[ is| costs| of][:]"
_FROM = "(from|over|above|after)"
_AN_ORDER = "[ an order| per order| each order]"
_CARRIES = "(carriage|delivery|freight|shipping)"
_A_YEAR = "(a year|per year|each year|yearly|in a year|every year|p.a|pa)"

EXACT: tuple[Phrasing, ...] = (
    Phrasing(
        "worth of terms",
        "is paying {supplier:paidsupplier} early worth it",
        lambda _c, supplier: WorthOfTerms(supplier),
        "what paying early is worth",
        "is paying Aldermoor early worth it",
        asks=True,
    ),
)
TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "early terms",
        f"""
        {_BY_SLASH}[,][ ]{{net:netterm}}[,] {_MONTH}
        """,
        _early_end,
        "terms of {supplier}",
        f"{_EARLY} end of month",
    ),
    Phrasing(
        "early terms",
        f"""
        {_BY_SLASH}[,][ ]{{net:netterm}}
        {_SUPPLIER} {_GIVES}[ us] {_OFF} {_WITHIN} {{early:days}}
        {_SUPPLIER}[:] {_OFF} {_WITHIN} {{early:days}}[,] {{net:netterm}}
        {_SUPPLIER}[:] {_OFF} {_WITHIN} {{early:days}}
        {{supplier:known}} {{percent:percent}}[%][ ]/[ ]{{early:earlydays}}
        """,
        _early,
        "terms of {supplier}",
        _EARLY,
    ),
    Phrasing(
        "no early terms",
        """
        {supplier:known} (no early discount|no discount for paying early|no early payment discount)
        {supplier:known} (gives|takes) (no early discount|no discount for paying early)
        """,
        lambda _c, supplier: SetTerms(supplier, early_percent=Decimal(0)),
        "terms of {supplier}",
        "Aldermoor no early discount",
    ),
    Phrasing(
        "end of month",
        f"""
        {_SUPPLIER}[ terms][ are| is][:] [net ]{{net:netdays}}[,] {_MONTH}
        {_SUPPLIER}[ terms][ are| is][:] [net ]{{net:netdays}} {_AFTER_MONTH}
        {_SUPPLIER}[ terms][ are| is][:] {_MONTH} (plus|+|and) {{net:netdays}}
        {_SUPPLIER} (is|gets) paid {{net:netdays}} {_AFTER_MONTH}
        {_KNOWN}[ terms][ are| is][:] [net ](end of month|end of the month|eom|month end)
        """,
        _end_of_month,
        "terms of {supplier}",
        _END,
    ),
    Phrasing(
        "carriage",
        f"""
        {_SUPPLIER} (carriage|freight){_IS} {{carriage:money}}[,] free {_FROM} {{free:money}}
        {_SUPPLIER} (delivery|shipping){_IS} {{carriage:money}}[,] free {_FROM} {{free:money}}
        {_SUPPLIER} (carriage|freight){_IS} {{carriage:money}}{_AN_ORDER}
        {_KNOWN} (delivery|shipping|postage){_IS} {{carriage:money}}{_AN_ORDER}
        {_SUPPLIER} (charges|asks|takes) {{carriage:money}} [for ]{_CARRIES}{_AN_ORDER}
        {_KNOWN}[ delivers| carriage| delivery|'s carriage][ is] free {_FROM} {{free:money}}
        {_KNOWN} (free carriage|carriage free|free delivery|delivery free|no carriage)
        [the ]carriage (from|of|at) {_SUPPLIER} is {{carriage:money}}{_AN_ORDER}
        """,
        _carriage,
        "carriage of {supplier}",
        _CARRIAGE,
    ),
    Phrasing(
        "minimum order",
        f"""
        {_KNOWN}['s] (minimum|min) order[ value][ is| of][:] {{value:money}}
        {_KNOWN} (orders|order) (from|start at|starts at|at least) {{value:money}}
        {_KNOWN} takes (orders from|no order below|no orders below) {{value:money}}
        [the ](minimum|min) order[ value] (at|of|for|with) {_KNOWN} is {{value:money}}
        """,
        _minimum,
        "a least order of {supplier}",
        "Aldermoor minimum order 300",
    ),
    Phrasing(
        "currency",
        """
        {supplier:supplier}['s] (prices|quotes|invoices|amounts) are in {currency:currency}
        {supplier:supplier} (quotes|charges|bills|invoices|sells) in {currency:currency}
        [we |i ]pay {supplier:known} in {currency:currency}
        """,
        lambda _c, supplier, currency: SetTerms(supplier, currency=currency),
        "the currency of {supplier}",
        "Aldermoor prices are in euros",
    ),
    Phrasing(
        "duty",
        f"""
        [the |customs ]duty (on|for) goods from {_SUPPLIER}{_IS} {{percent:percent}}{_IN_HUNDRED}
        [the |customs ]duty (on|for|from) {_SUPPLIER}{_IS} {{percent:percent}}{_IN_HUNDRED}
        {_KNOWN}['s] [customs |import ]duty{_IS} {{percent:percent}}{_IN_HUNDRED}
        {_KNOWN} (no duty|no customs duty|duty free|without duty)
        """,
        lambda _c, supplier, percent=Decimal(0): SetTerms(supplier, duty=percent),
        "a duty on goods of {supplier}",
        "duty on Hangfeng 4%",
    ),
    Phrasing(
        "spend",
        f"""
        {_SUPPLIER} {_GIVES}[ us] {_OFF} {_FROM} {{amount:money}} {_A_YEAR}
        {_SUPPLIER} {_OFF} {_FROM} {{amount:money}} {_A_YEAR}
        {_KNOWN} (discount|rebate|bonus) {_OFF} {_FROM} {{amount:money}} {_A_YEAR}
        """,
        _spend,
        "a discount of {supplier}",
        "Aldermoor takes 5% off from 2000 a year",
    ),
    Phrasing(
        "worth of terms",
        """
        (is|would) paying {supplier:supplierid} early (worth it|worthwhile|be worth it|pay)
        (should|shall|do) (we|i) pay {supplier:supplierid} early
        (is|are) {supplier:supplierid}['s] (early discount|discount|terms) worth (it|taking)
        what is paying {supplier:supplierid} early worth
        what is {supplier:supplierid}['s] [early ]discount worth
        (worth of|value of) paying {supplier:supplierid} early
        pay {supplier:supplierid} early or late
        """,
        lambda _c, supplier: WorthOfTerms(supplier),
        "what paying early is worth",
        "is paying Aldermoor early worth it",
        asks=True,
    ),
)
HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "unread terms",
        """
        {supplier:known}['s] (payment terms|terms|early discount|credit)[:| are| is] {terms:text}
        {supplier:known} (net|carriage|freight|duty|minimum order|discount)[:| is| of] {terms:text}
        {supplier:known} (takes|gives|offers) {terms:text} (off|discount)
        """,
        _unread,
        "terms of {supplier}",
        _EARLY,
        half=True,
    ),
)
