"""Ways to say that a thing is done, put off, or not needed.

Knows: requests of the ledger. Must not know: how a line is matched. Invariant: what is named must
be a deadline of the plan; which of several is asked.
"""

from datetime import date
from typing import Any

from assistant.conversation.replies.plain import plural
from assistant.conversation.requests import MarkDone, NotNeeded, PutOff, Reopened
from assistant.conversation.sentences import task as sentence
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_item, read_item
from assistant.conversation.understand.reading import Built, Phrasing
from assistant.conversation.understand.tasks import Task, read_tasks, task_of
from assistant.conversation.understand.unclear import Unclear

Keys = tuple[str, ...]


def _keys(c: Context, keys: Keys | None, verb: str) -> Keys | Unclear:
    """What was named; where nothing was, the only one of the last list, or a question which."""
    found = read_tasks("", c) if keys is None else keys
    if isinstance(found, Unclear):
        offers = tuple((label, f"{verb}: {says}") for label, says in found.offers)
        return Unclear(found.why, offers, whole=True)
    return found or ()


def _done(c: Context, keys: Keys | None = None) -> Built:
    found = _keys(c, keys, "done")
    return found if isinstance(found, Unclear) else MarkDone(found)


def _not_needed(c: Context, keys: Keys | None = None) -> Built:
    found = _keys(c, keys, "not needed")
    return found if isinstance(found, Unclear) else NotNeeded(found)


def _put_off(
    c: Context, keys: Keys | None = None, days: int | None = None, until: date | None = None
) -> Built:
    found = _keys(c, keys, f"put off {plural(days or 1, 'day')}")
    if isinstance(found, Unclear):
        return found
    return Unclear("no days is no putting off") if days == 0 else PutOff(found, days, until)


def _put_off_how_long(c: Context, keys: Keys | None = None) -> Built:
    found = _keys(c, keys, "put off 3 days")
    if isinstance(found, Unclear):
        return found
    named = sentence(c.shop, found[0]) if len(found) == 1 else ""
    offers = tuple((plural(n, "day"), f"put off {plural(n, 'day')}: {named}") for n in (1, 3, 5) if named)
    return Unclear("I do not know for how long", offers, whole=True)


def _stage_done(stage: str, known: bool = False) -> Any:
    """`known`: only where the item is one of the plan, for words that are said of other things."""

    def build(c: Context, what: str = "") -> Built:
        if known and isinstance(known_item(what, c), Unclear | None) and not what == "":
            found = known_item(what, c)
            return found if isinstance(found, Unclear) else _not_in_plan(c, what)
        task = task_of(stage, what, c)
        return MarkDone((task.key,)) if isinstance(task, Task) else task

    return build


def _not_in_plan(c: Context, what: str) -> Built:
    found = read_item(what, c)
    return found if isinstance(found, Unclear) else None


def _row(name: str, pattern: str, build: Any, gist: str, example: str, **more: bool) -> Phrasing:
    return Phrasing(name, pattern, build, gist, example, **more)


_DONE, _OFF, _NOT = "a thing done", "a thing to put off", "a thing not needed"
_PUT = "(put off|postpone|delay|later|remind me of|defer|put it off)"
_HAS = "[ is| are| has| have| was| has been| have been| were][ now| all| just| been| already]"
_I = "[i |we ][have |'ve |just |already ]"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "put off",
        "put off[ it| that| this][ by| for] {days:length}(:| -) {keys:tasks}",
        _put_off,
        _OFF,
        "put off 3 days: order field notebook",
    ),
    _row(
        "put off",
        f"{_PUT}[ it| that| this][ by| for| another] {{days:length}}",
        _put_off,
        _OFF,
        "put off 3 days",
    ),
    _row(
        "put off",
        f"{_PUT}[ it| that| this] (until|till|to) {{until:coming}}",
        _put_off,
        _OFF,
        "put off until Friday",
    ),
    _row(
        "put off",
        f"{_PUT} {{keys:tasks}} (by|for) {{days:length}}",
        _put_off,
        _OFF,
        "put off 1 by 3 days",
    ),
    _row(
        "put off",
        f"{_PUT} {{keys:tasks}} (until|till|to) {{until:coming}}",
        _put_off,
        _OFF,
        "put off the tea order until Friday",
    ),
    _row(
        "put off", f"{_PUT} {{keys:tasks}}[,] {{days:length}}", _put_off, _OFF, "put off 1 3 days"
    ),
    _row(
        "put off",
        "put {keys:tasks} off (by|for) {days:length}",
        _put_off,
        _OFF,
        "put 1 off by 3 days",
    ),
    _row(
        "put off",
        "put {keys:tasks} off (until|till|to) {until:coming}",
        _put_off,
        _OFF,
        "put 1 off until Friday",
    ),
    _row(
        "not needed",
        "(not needed|no need|not necessary|does not apply|skip it|skip that|skip this|not needed any more)",
        _not_needed,
        _NOT,
        "not needed",
    ),
    _row(
        "not needed",
        "(not needed|no need for|no need to|skip)[:] {keys:tasks}",
        _not_needed,
        _NOT,
        "not needed: order field notebook",
    ),
    _row(
        "not needed",
        "{keys:tasks} (is not needed|isn't needed|not needed|are not needed|is not necessary)",
        _not_needed,
        _NOT,
        "1 is not needed",
    ),
    _row(
        "open again",
        "(open again|not done|not done yet|undone|still open|reopen)[:] {keys:tasks}",
        lambda _c, keys: Reopened(keys),
        "a thing still open",
        "open again: order field notebook",
    ),
    _row(
        "open again",
        "{keys:tasks} (is not done|isn't done|is open again|is still open|not done)[ yet]",
        lambda _c, keys: Reopened(keys),
        "a thing still open",
        "1 is not done",
    ),
    _row(
        "done",
        "(done|finished|did it|did that|it is done|that is done|that's done|it's done|done it|done that|all done|sorted|tick|i did it)",
        _done,
        _DONE,
        "done",
    ),
    _row(
        "done",
        "(done|finished|did|completed|done with|tick|tick off)[:| -] {keys:tasks}",
        _done,
        _DONE,
        "done 1",
    ),
    _row("done", f"{_I}(done|finished|did|completed) {{keys:tasks}}", _done, _DONE, "I did 1"),
    _row("done", "mark {keys:tasks} [as ](done|finished)", _done, _DONE, "mark 1 as done"),
    _row(
        "done",
        "{keys:tasks} (done|is done|are done|finished|is finished|sorted|is sorted|completed)",
        _done,
        _DONE,
        "order notebook done",
    ),
    # trade ways of saying that a stage is done
    _row(
        "ordered",
        f"{_I}(ordered|placed the order for|placed an order for|bought|reordered) {{what:words}}[ today| yesterday| this morning]",
        _stage_done("order"),
        _DONE,
        "ordered the notebook",
    ),
    _row(
        "ordered",
        f"{{what:words}}{_HAS} (ordered|on order)",
        _stage_done("order"),
        _DONE,
        "notebook ordered",
    ),
    _row(
        "ordered",
        f"{{what:words}} order (placed|sent|is placed|is sent|has gone|went out)",
        _stage_done("order"),
        _DONE,
        "notebook order placed",
    ),
    _row(
        "received",
        f"{_I}(received|got|unpacked|checked in|counted in) {{what:words}}[ today| yesterday]",
        _stage_done("stock", known=True),
        _DONE,
        "received the notebook",
    ),
    _row(
        "received",
        f"{{what:words}}{_HAS} (arrived|received|in hand|in stock|here|checked in|counted in|delivered|come in)[ today| yesterday| safely]",
        _stage_done("stock", known=True),
        _DONE,
        "tea has arrived",
    ),
    _row(
        "dispatched",
        f"{{what:words}}{_HAS} (dispatched|despatched|on its way|on the way|sent off|left the supplier)",
        _stage_done("dispatch", known=True),
        _DONE,
        "tea is dispatched",
    ),
    _row(
        "sourced", f"{{what:words}}{_HAS} (sourced)", _stage_done("source"), _DONE, "tea is sourced"
    ),
    _row(
        "sourced",
        f"{_I}(sourced|settled sourcing of|settled sourcing for) {{what:words}}",
        _stage_done("source"),
        _DONE,
        "sourced the tea",
    ),
    _row(
        "sample",
        f"[the ]sample (of|for) {{what:words}}{_HAS} (approved|good|fine|ok)",
        _stage_done("sample"),
        _DONE,
        "sample of the tea approved",
    ),
    _row(
        "sample",
        f"{{what:words}} sample{_HAS} (approved|good|fine|ok)",
        _stage_done("sample"),
        _DONE,
        "tea sample approved",
    ),
    _row(
        "sample",
        f"{_I}(approved) [the ]sample (of|for) {{what:words}}",
        _stage_done("sample"),
        _DONE,
        "approved the sample of the tea",
    ),
    _row(
        "deposit",
        f"[the ]deposit (of|for|on) {{what:words}}{_HAS} paid",
        _stage_done("deposit"),
        _DONE,
        "deposit for the tea paid",
    ),
    _row(
        "deposit",
        f"{{what:words}} deposit{_HAS} paid",
        _stage_done("deposit"),
        _DONE,
        "tea deposit paid",
    ),
    _row(
        "deposit",
        f"{_I}(paid) [the ]deposit (of|for|on) {{what:words}}",
        _stage_done("deposit"),
        _DONE,
        "paid the deposit for the tea",
    ),
    _row(
        "balance",
        f"[the ]balance (of|for|on) {{what:words}}{_HAS} paid",
        _stage_done("balance"),
        _DONE,
        "balance for the tea paid",
    ),
    _row(
        "balance",
        f"{{what:words}} balance{_HAS} paid",
        _stage_done("balance"),
        _DONE,
        "tea balance paid",
    ),
    _row(
        "balance",
        f"{_I}(paid) [the ](balance|invoice) (of|for|on) {{what:words}}",
        _stage_done("balance"),
        _DONE,
        "paid the balance for the tea",
    ),
    _row(
        "packing",
        f"packing [of |for ]{{what:words}}{_HAS} (started|begun|under way)",
        _stage_done("pack"),
        _DONE,
        "packing March started",
    ),
    _row(
        "packing", "packing has (started|begun)", _stage_done("pack"), _DONE, "packing has started"
    ),
    _row(
        "packing",
        f"{_I}(started|began) packing[ {{what:words}}]",
        _stage_done("pack"),
        _DONE,
        "started packing March",
    ),
    _row(
        "shipped",
        f"{{box:anymonth}}{_HAS} (shipped|posted|gone out|sent|out of the door)",
        lambda c, box: _stage_done("ship")(c, box),
        _DONE,
        "March has shipped",
    ),
    _row(
        "shipped",
        f"{_I}(shipped|posted) {{box:anymonth}}",
        lambda c, box: _stage_done("ship")(c, box),
        _DONE,
        "shipped March",
    ),
    _row(
        "packed",
        f"{{box:anymonth}}{_HAS} packed",
        lambda c, box: _stage_done("pack")(c, box),
        _DONE,
        "March is packed",
    ),
    _row(
        "card",
        f"[the ](card|cards|insert card) (for|of) {{what:words}}{_HAS} (printed|sent to print|at the printer|at the printers)",
        _stage_done("card"),
        _DONE,
        "card for March sent to print",
    ),
    _row(
        "card",
        f"{{what:words}} (card|cards|insert card){_HAS} (printed|sent to print|at the printer|at the printers)",
        _stage_done("card"),
        _DONE,
        "March card sent to print",
    ),
    _row(
        "count",
        f"{_I}(counted|took) [the ](subscribers|count|final count) (for|of) {{what:words}}",
        _stage_done("count"),
        _DONE,
        "counted subscribers for March",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    _row(
        "put off", f"{_PUT}[ it| that| this]", _put_off_how_long, _OFF, "put off 3 days", half=True
    ),
    _row(
        "put off",
        f"{_PUT} {{keys:tasks}}",
        _put_off_how_long,
        _OFF,
        "put off 1 by 3 days",
        half=True,
    ),
)
