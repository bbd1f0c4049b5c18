"""Ways to speak of rates and of postage; rows of the room "costs".

Knows: requests about rates and tables of postage. Must not know: how a line is matched.
Invariants: a rate names its currency, a price of postage its service and weight; each example is
understood as its row.
"""

from datetime import date

from msgspec.structs import replace

from assistant.conversation.order_requests import (
    DropPostage,
    SetPostage,
    SetRate,
    ShowPostage,
    ShowRates,
)
from assistant.conversation.sentences import one_line
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.tariffs import (
    FOREIGN,
    RATE,
    SaidRate,
    read_bands,
    read_code,
    read_rate,
    read_weighing,
)
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare, fold, slip
from assistant.planning.accounts.money import plain_number
from assistant.planning.changes import profile_of
from assistant.planning.model import Band

_SERVICE = r"[a-z0-9][^:;,]{0,39}?"
_SIGNIFICANT = 4  # digits of a rate that is offered turned round


def _service(text: str, _c: Context) -> str | None:
    said = text.strip().strip("\"'")
    first, _, rest = said.partition(" ")
    if rest and slip(first.lower(), "postage") == "sure":
        said = rest
    return one_line(said) if bare(said) and not said[0].isdigit() else None


def _priced(text: str, c: Context) -> tuple[Band, ...] | None:
    """Bands with their prices; without one the words are about something else."""
    found = read_bands(f"up to {text}", c)
    return found if isinstance(found, tuple) else None


def _known_service(text: str, c: Context) -> str | Unclear | None:
    """A service whose table is kept, by its name, part of it or a slip of it."""
    said = bare(text)
    names = dict.fromkeys(one.service for one in c.shop.tariffs)
    whole = [name for name in names if fold(name) == said]
    near = [n for n in names if said in fold(n) or slip(said, fold(n), "sure") == "sure"]
    found = whole or near
    if len(found) > 1:
        offers = tuple((name, name) for name in found)
        return Unclear(f'"{text.strip()[:40]}" could be several services', offers)
    return found[0] if found else None


def _any_service(text: str, c: Context) -> str | Unclear | None:
    """The same, or a name of which nothing is kept."""
    return _known_service(text, c) or _service(text, c)


def _exact_service(text: str, c: Context) -> str | None:
    name = text.strip()[1:-1]
    names = dict.fromkeys(one.service for one in c.shop.tariffs)
    return next((one for one in names if one_line(one).replace('"', "'") == name), None)


KINDS: dict[str, Kind] = {
    "foreign": Kind(FOREIGN, lambda text, _c: read_code(text)),
    "rate": Kind(RATE, read_rate),
    "service": Kind(_SERVICE, _service),
    "anyservice": Kind(_SERVICE, _any_service),
    "knownservice": Kind(_SERVICE, _known_service),
    "quotedservice": Kind(r'".+"', _exact_service),
    "bands": Kind(r".+?", lambda text, c: read_bands(f"up to {text}", c)),
    "rateday": Kind(r".{2,40}?", lambda text, c: read_day(text, c.today, near=c.today)),
    "priced": Kind(r".+?", _priced),
    "divided": Kind(r"\d.*?", lambda text, c: read_weighing(f"divisor {text}", c)),
    "weighing": Kind(
        r"(?:(?:divisor|divided|volume|side|sides|each side|step|steps|in steps)\b).+?",
        read_weighing,
    ),
}


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    return Phrasing(name, says, build, gist, example, asks=asks)


def _rate(c: Context, currency: str, rate: SaidRate, on: date | None = None, of: str = "") -> Built:
    """A rate of another currency in the shop's; the other way round is offered turned."""
    own = profile_of(c.shop).currency
    if of and of != own:
        return Unclear(f"the shop counts in {own}; say what 1 {currency} is in {own}")
    if currency == own and rate.unit not in ("", own) and rate.number:
        turned = plain_number(round(1 / rate.number, _SIGNIFICANT))
        says = f"1 {rate.unit} is {turned}"
        why = f"I keep what 1 {rate.unit} is in {own}"
        return Unclear(why, ((says, says),), whole=True)
    if rate.unit not in ("", own):
        return Unclear(f"the shop counts in {own}; say what 1 {currency} is in {own}")
    return SetRate(currency, rate.number, on)


def _bands(_c: Context, service: str, bands: tuple[Band, ...], since: date | None = None) -> Built:
    return SetPostage(service, bands, since=since)


def _weighing(_c: Context, service: str, rule: SetPostage, since: date | None = None) -> Built:
    return replace(rule, service=service, since=since)


_RATE_GIST, _RATE_EXAMPLE = "a rate of {currency}", "1 EUR is 0.86"
_POSTAGE, _POSTAGE_EXAMPLE = "postage by {service}", "postage small parcel up to 2 kg 3.45"
_FROM = "[,][ (from|since|as of|on) {since:rateday}]"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "forget postage",
        "forget postage {service:quotedservice}",
        lambda _c, service: DropPostage(service),
        "postage to forget",
        "forget postage small parcel",
    ),
)
TABLE: tuple[Phrasing, ...] = (
    _row(
        "rate",
        """
        1[ ]{currency:foreign}[ ](=|is|costs|equals|is worth|is now|:|at)[ ]{rate:rate}<on>
        {currency:foreign}[ ]1[ ](=|is|costs|equals)[ ]{rate:rate}<on>
        (one|an|a|the) {currency:foreign} (is|costs|equals|is now|at) {rate:rate}<on>
        [the ]{currency:foreign} (is|at|is at|is now|is worth|stands at|costs) {rate:rate}<on>
        [the |our |exchange ]rate (of|for) [the ]{currency:foreign}[:]<at> {rate:rate}<on>
        [the |our ]{currency:foreign} [exchange ]rate[:]<at> {rate:rate}<on>
        [exchange ]rate {currency:foreign}[:] {rate:rate}<on>
        {currency:foreign}/{of:foreign}[:]<at> {rate:rate}<on>
        """.replace("<at>", "[ is| =| at]").replace(
            "<on>", "[,][ (from|since|as of|on) {on:rateday}]"
        ),
        _rate,
        _RATE_GIST,
        _RATE_EXAMPLE,
    ),
    _row(
        "rates",
        """
        [show |show me ][the |my |our |all ][all ][exchange |currency ]rates
        (what|which) [exchange ]rates (do you use|do i have|are kept|have i|do we use)
        (what|which) [exchange ]rate (do you use|is kept|do we use)[ for [the ]{currency:foreign}]
        """,
        lambda _c, currency="": ShowRates(),  # noqa: ARG005 - all are shown
        "the rates",
        "rates",
        asks=True,
    ),
    _row(
        "postage",
        f"""
        (postage|post|posting)[ by| for| of] {{service:service}}[:][,] up to {{bands:bands}}{_FROM}
        {{service:service}} postage[:][,] up to {{bands:bands}}{_FROM}
        {{service:service}}[:][,] up to {{bands:priced}}{_FROM}
        """,
        _bands,
        _POSTAGE,
        _POSTAGE_EXAMPLE,
    ),
    _row(
        "postage rule",
        f"""
        (postage|post|posting)[ by| for| of] {{service:service}}[:][,] {{rule:weighing}}{_FROM}
        {{service:service}}[:][,][ has] divisor {{rule:divided}}{_FROM}
        """,
        _weighing,
        "how {service} reckons weights",
        "small parcel divisor 5000, sides rounded up to 1 cm, step 500 g",
    ),
    _row(
        "forget postage",
        """
        (forget|drop|delete|remove) [the ]postage[ by| for| of] {service:anyservice}
        (forget|drop|delete|remove) [the ]{service:knownservice} (postage|post)
        """,
        lambda _c, service: DropPostage(service),
        "postage to forget, {service}",
        "forget postage small parcel",
    ),
    _row(
        "show postage",
        """
        [show |show me ][the |my |our |all ]postage[ prices| costs]
        (what is|what's|whats) [the |our ]postage
        (what|how much) (does|is) [the ](postage|posting)[ cost]
        (what|how much) (does|will) it cost to post (a box|the box|it|one)
        how (is|will) (a|the) box (posted|be posted)
        [what is |what's ][the ]postage (for|of) {box:anymonth}
        """,
        lambda _c, box="": ShowPostage(),  # noqa: ARG005 - the next boxes are shown
        "the postage",
        "postage prices",
        asks=True,
    ),
)


def _without_price(_c: Context, service: str = "", price: str = "") -> Built:
    del service, price
    return Unclear("not up to which weight, or at what price")


HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "postage",
        """
        (postage|posting)[ by| for| of| is| costs] {price:money}
        (postage|posting)[ by| for| of] {service:service}[:| is| costs] {price:money}
        """,
        _without_price,
        "postage",
        _POSTAGE_EXAMPLE,
        half=True,
    ),
)
