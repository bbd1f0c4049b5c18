"""Ways to say what is known of a supplier, and on which days someone is closed.

Knows: requests of suppliers and closures. Must not know: how a line is matched. Invariants: where a
name could be a supplier's or an item's, the item's rows stand before these.
"""

from datetime import date
from decimal import Decimal

from assistant.conversation.requests import ChangeSupplier, Close, Reopen, ShowSupplier
from assistant.conversation.understand.closures import read_closure
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.model import Closure, Lead


def _close(c: Context, closure: str, supplier: str = "") -> Built:
    found = read_closure(closure, c)
    return Close(supplier, found) if isinstance(found, Closure) else found


def _unread_close(_c: Context, supplier: str, **_rest: str) -> Built:
    return Unclear(f"I could not read on which days {supplier} is closed")


def _in(_c: Context, supplier: str, country: str) -> Built:
    code, _, part = country.partition("/")
    return ChangeSupplier(supplier, country=code, subdivision=part)


def _lead(_c: Context, supplier: str, lead: Lead | int) -> Built:
    return ChangeSupplier(supplier, lead=Lead(lead) if isinstance(lead, int) else lead)


def _net(_c: Context, supplier: str, days: int) -> Built:
    return ChangeSupplier(supplier, net_days=days)


def _deposit(_c: Context, supplier: str, percent: Decimal = Decimal(0)) -> Built:
    return ChangeSupplier(supplier, deposit_percent=percent)


def _open(_c: Context, supplier: str = "", day: date | None = None) -> Built:
    return Reopen(supplier, day)


def _transit(_c: Context, supplier: str, days: int) -> Built:
    return ChangeSupplier(supplier, transit_days=days)


def _confirm(_c: Context, supplier: str, days: int) -> Built:
    return ChangeSupplier(supplier, confirm_days=days)


def _row(name: str, pattern: str, build: Build, gist: str, example: str, **more: bool) -> Phrasing:
    return Phrasing(name, pattern, build, gist, example, **more)


_CLOSED = "Aldermoor closed 2-20 August"
_CLOSURE = "a closure of {supplier}"
_OURS = "days on which you are closed"
_WE = "we are closed 24 Dec - 2 Jan"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "closed",
        """
        (we|the shop|shop|i) (are|is|will be|am|have|has) (closed|shut|off) {closure:text}
        (we|the shop|shop|i) (are|is|will be) (away|on holiday|on leave) {closure:text}
        (we|the shop|shop|i) (am|have|has) (away|on holiday|on leave) {closure:text}
        (we're|i'm) (closed|shut|away|on holiday) {closure:text}
        (we|the shop|i) (close|shut|closes|shuts) {closure:text}
        (closed|shut) {closure:text}
        """,
        _close,
        _OURS,
        _WE,
    ),
    _row(
        "open",
        """
        (we|the shop) (are|is) open [again ]on {day:day}
        """,
        _open,
        "a day to open",
        "we are open on 24 December",
    ),
    _row(
        "open",
        """
        (we|the shop) (are|is) open again
        """,
        _open,
        "open days",
        "we are open again",
    ),
    _row(
        "closed",
        """
        {supplier:supplier} (is|will be|are) (closed|shut) {closure:text}
        {supplier:known} (is|will be|are) (off|on holiday|away) {closure:text}
        {supplier:supplier} (closed|shut|closes|shuts) {closure:text}
        {supplier:known} on holiday {closure:text}
        {supplier:known} (summer|winter|christmas) (break|holiday|holidays)[:] {closure:text}
        {supplier:known} (easter|annual) (break|holiday|holidays)[:] {closure:text}
        {supplier:known} (summer|winter|christmas) (closure|shutdown)[:] {closure:text}
        {supplier:known} (easter|annual) (closure|shutdown)[:] {closure:text}
        """,
        _close,
        _CLOSURE,
        _CLOSED,
    ),
    _row(
        "open",
        """
        {supplier:known} [is |are ](open|opens|working) [again ](on|from) {day:day}
        {supplier:known} [is |are ](open again|open|not closed|reopened|reopens)
        """,
        _open,
        "open days of {supplier}",
        "Aldermoor open on 5 August",
    ),
    _row(
        "country",
        """
        {supplier:supplier} (is|are|is based|sits) in {country:country}
        {supplier:known} [based ]in {country:country}
        """,
        _in,
        "where {supplier} is",
        "Aldermoor is in Germany",
    ),
    _row(
        "transit",
        """
        {supplier:supplier} transit[ time][ is| takes][:] {days:days}[ by sea| by air| by road]
        transit from {supplier:supplier}[ is| takes][:] {days:days}
        {supplier:known} (takes|needs) {days:length} (to deliver|to arrive|in transit)
        {supplier:known} (takes|needs) {days:length} (on the way|to get here)
        """,
        _transit,
        "transit from {supplier}",
        "Aldermoor transit 6 days",
    ),
    _row(
        "lead",
        """
        {supplier:supplier} (lead time|lead|lead-time|leadtime)[ is| of][:] {lead:lead}
        {supplier:supplier} (lead time|lead)[ is| of][:] {lead:count}
        {supplier:known} (takes|needs) {lead:lead}[ to make]
        """,
        _lead,
        "a lead time of {supplier}",
        "Aldermoor lead time 20 working days",
    ),
    _row(
        "confirm",
        """
        {supplier:supplier} starts[ making][ work] {days:length} after [the |an |our ]order
        {supplier:supplier} begins[ making][ work] {days:length} after [the |an |our ]order
        {supplier:supplier} (confirms|confirm|starts)[ orders] (in|within|after) {days:length}
        """,
        _confirm,
        "when {supplier} starts",
        "Aldermoor starts 2 working days after the order",
    ),
    _row(
        "deposit",
        """
        {supplier:supplier} deposit[ is| of][:] {percent:percent}[ ][%][percent| per cent]
        {supplier:supplier} (wants|asks) [for ][a ]{percent:percent}[ ](%|percent) deposit
        {supplier:supplier} (wants|asks) [for ][a ]{percent:percent}[ ]per cent deposit
        {supplier:supplier} (takes|needs) [for ][a ]{percent:percent}[ ](%|percent) deposit
        {supplier:supplier} (takes|needs) [for ][a ]{percent:percent}[ ]per cent deposit
        {supplier:known} (no deposit|wants no deposit)
        """,
        _deposit,
        "a deposit for {supplier}",
        "Aldermoor deposit 30%",
    ),
    _row(
        "net",
        """
        {supplier:supplier} (net|balance)[ net][ is| in| of| due][:] {days:days}[ after dispatch]
        {supplier:supplier} terms[ net][ is| in| of| due][:] {days:days}[ after dispatch]
        {supplier:supplier} credit[ net][ is| in| of| due][:] {days:days}[ after dispatch]
        {supplier:supplier} payment[ net][ is| in| of| due][:] {days:days}[ after dispatch]
        """,
        _net,
        "terms of {supplier}",
        "Aldermoor net 30",
    ),
    _row(
        "week",
        """
        {supplier:supplier} (works|work|open|working week|week)[ on| is][:] {week:week}
        """,
        lambda _c, supplier, week: ChangeSupplier(supplier, week=week),
        "a working week of {supplier}",
        "Aldermoor works Mon-Sat",
    ),
    _row(
        "rename",
        """
        rename {supplier:known} (to|as) {name:text}
        rename supplier {supplier:supplier} (to|as) {name:text}
        """,
        lambda _c, supplier, name: ChangeSupplier(supplier, new_name=name[:80]),
        "a new name for {supplier}",
        "rename Aldermoor to Aldermoor Press",
    ),
    _row(
        "show",
        """
        [show |show me ][the ]supplier {supplier:supplierid}
        (show|show me|how is|how are|about) {supplier:supplierid}[ doing]
        what do (we|i|you) know (about|of) {supplier:supplierid}
        (when|what|how much) (must|do|should) (i|we) (pay|owe|order from) {supplier:supplierid}
        {supplier:exactsupplier}
        """,
        lambda _c, supplier: ShowSupplier(supplier),
        "a supplier to show",
        "show supplier Aldermoor",
        asks=True,
    ),
)

HALVES: tuple[Phrasing, ...] = (
    _row(
        "closed",
        """
        {supplier:known} (closed|shut|closes|is closed|on holiday)[ {rest:text}]
        """,
        _unread_close,
        _CLOSURE,
        _CLOSED,
        half=True,
    ),
)
