"""Ways to say that a thing is done, put off, or not needed.

Knows: requests of the ledger. Must not know: how a line is matched. Invariant: what is named must
be a deadline of the plan; which of several is asked.
"""

import re
from datetime import date

from assistant.conversation.replies.plain import plural
from assistant.conversation.requests import MarkDone, NotNeeded, PutOff, Reopened
from assistant.conversation.sentences import task as sentence
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.phrasings import receiving
from assistant.conversation.understand.reading import Build, Built, Phrasing
from assistant.conversation.understand.tasks import Task, read_tasks, task_of
from assistant.conversation.understand.unclear import Unclear

Keys = tuple[str, ...]


def _keys(c: Context, keys: Keys | None, verb: str) -> Keys | Unclear:
    """What was named; where nothing was, the only one of the last list, or a question which."""
    found = read_tasks("", c) if keys is None else keys
    return found.said(f"{verb}: ") if isinstance(found, Unclear) else found or ()


def _done(c: Context, keys: Keys | None = None) -> Built:
    found = _keys(c, keys, "done")
    return found if isinstance(found, Unclear) else MarkDone(found)


def _not_needed(c: Context, keys: Keys | None = None) -> Built:
    found = _keys(c, keys, "not needed")
    return found if isinstance(found, Unclear) else NotNeeded(found)


def _put_off(
    c: Context, keys: Keys | None = None, wait: int | date = 0, until: date | None = None
) -> Built:
    days, until = (None, wait) if isinstance(wait, date) else (wait, until)
    how_long = f"until {until}" if until else plural(days or 1, "day")
    found = _keys(c, keys, f"put off {how_long}")
    if isinstance(found, Unclear):
        return found
    if not days and not until:
        return Unclear("no days is no putting off")
    return PutOff(found, days or None, until)


def _put_off_how_long(c: Context, keys: Keys | None = None) -> Built:
    found = _keys(c, keys, "put off 3 days")
    if isinstance(found, Unclear):
        return found
    named = sentence(c.shop, found[0]) if len(found) == 1 else ""
    lengths = [plural(n, "day") for n in (1, 3, 5) if named]
    offers = tuple((length, f"put off {length}: {named}") for length in lengths)
    return Unclear("I do not know for how long", offers, whole=True)


def _stage_done(stage: str) -> Build:
    """What was done, where the words for the stage are said beside it."""

    def build(c: Context, what: str = "") -> Built:
        task = task_of(stage, what, c)
        if isinstance(task, Task):
            return MarkDone((task.key,))
        return task and task.said("done: ")

    return build


def _in_stock(c: Context, what: str = "") -> Built:
    if re.search(r"(?:(?<![\w.])\d[\d,]*|\bnone)$", what):
        return None  # "notebook 40 in stock" tells how many are left
    return receiving.arrived(c, what)


def _box_done(stage: str) -> Build:
    return lambda c, box: _stage_done(stage)(c, box)


def _row(name: str, pattern: str, build: Build, gist: str, example: str, **more: bool) -> Phrasing:
    return Phrasing(name, pattern, build, gist, example, **more)


_DONE, _OFF, _NOT = "a thing done", "a thing to put off", "a thing not needed"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "put off",
        """
        put off[ it| that| this][ by| for] {wait:wait}(:| -) {keys:tasks}
        put off until {until:coming}(:| -) {keys:tasks}
        <put-off>[ it| that| this][ by| for| another] {wait:wait}
        <put-off>[ it| that| this] (until|till|to) {until:coming}
        <put-off> {keys:tasks} (by|for) {wait:wait}
        <put-off> {keys:tasks} (until|till|to) {until:coming}
        <put-off> {keys:tasks}[,] {wait:wait}
        <put-off>[ it| that| this| to] {until:comingday}
        put {keys:tasks} off (by|for) {wait:wait}
        put {keys:tasks} off (until|till|to) {until:coming}
        """,
        _put_off,
        _OFF,
        "put off 3 days: order field notebook",
    ),
    _row(
        "not needed",
        """
        (not needed|no need|not necessary|does not apply)
        (skip it|skip that|skip this|not needed any more)
        (not needed|no need for|no need to|skip)[:] {keys:tasks}
        {keys:tasks} (is not needed|isn't needed|not needed|are not needed|is not necessary)
        """,
        _not_needed,
        _NOT,
        "not needed",
    ),
    _row(
        "open again",
        """
        (open again|not done|not done yet|still open|reopen)[:] {keys:tasks}
        {keys:tasks} (is not done|isn't done|is open again|is still open|not done)[ yet]
        """,
        lambda _c, keys: Reopened(keys),
        "a thing still open",
        "open again: order field notebook",
    ),
    _row(
        "done",
        """
        (done|finished|did it|did that|it is done|that is done|that's done)
        (it's done|done it|done that|all done|sorted|tick|i did it)
        (done|finished|did|completed|done with|tick|tick off)[:| -] {keys:tasks}
        <i>(done|finished|did|completed) {keys:tasks}
        mark {keys:tasks} [as ](done|finished)
        {keys:tasks} (done|is done|are done|finished|is finished|sorted|is sorted|completed)
        """,
        _done,
        _DONE,
        "done",
    ),
    _row(
        "ordered",
        """
        <i>(ordered|placed the order for) {what:words}
        <i>placed an order for {what:words}
        <i>(bought|reordered) {what:words}
        {what:words}<has> (ordered|on order)
        {what:words} order (placed|sent|is placed|is sent|has gone|went out)
        [the |an ]order (for|of) {what:words}<has> (placed|sent|out|gone)
        """,
        receiving.ordered,
        "an order",
        "ordered 460 notebooks, they say 3 March",
    ),
    _row(
        "received",
        """
        <i>(received|got|unpacked|checked in|counted in) {what:words}
        {what:words}<has> (arrived|received|in hand|here)[ today| safely]
        {what:words}<has> (checked in|counted in|delivered|come in)[ today| safely]
        {what:words}<has> (came|come|came in|turned up)[ today| safely]
        """,
        receiving.arrived,
        "a delivery",
        "received the notebook",
    ),
    _row(
        "in stock",
        "{what:words}<has> in stock[ today| safely]",
        _in_stock,
        "a delivery",
        "notebook is in stock",
    ),
    _row(
        "dispatched",
        """
        {what:words}<has> (dispatched|despatched|on its way|on the way|on their way)
        {what:words}<has> (sent off|left the supplier)
        """,
        receiving.dispatched,
        "a dispatch",
        "tea is dispatched",
    ),
    _row(
        "sourced",
        """
        {what:words}<has> (sourced)
        <i>(sourced|settled sourcing of|settled sourcing for) {what:words}
        """,
        _stage_done("source"),
        _DONE,
        "tea is sourced",
    ),
    _row(
        "sample",
        """
        [the ]sample (of|for) {what:words}<has> (approved|good|fine|ok)
        {what:words} sample<has> (approved|good|fine|ok)
        <i>(approved) [the ]sample (of|for) {what:words}
        """,
        _stage_done("sample"),
        _DONE,
        "sample of the tea approved",
    ),
    _row(
        "deposit",
        """
        [the ]deposit (of|for|on) {what:words}<has> paid
        {what:words} deposit<has> paid
        <i>(paid) [the ]deposit (of|for|on) {what:words}
        """,
        _stage_done("deposit"),
        _DONE,
        "deposit for the tea paid",
    ),
    _row(
        "balance",
        """
        [the ]balance (of|for|on) {what:words}<has> paid
        {what:words} balance<has> paid
        <i>(paid) [the ](balance|invoice) (of|for|on) {what:words}
        """,
        _stage_done("balance"),
        _DONE,
        "balance for the tea paid",
    ),
    _row(
        "packing",
        """
        packing [of |for ]{what:words}<has> (started|begun|under way)
        (done|finished) [with ]packing [of |for ]{what:words}
        packing has (started|begun)
        <i>(started|began) packing[ {what:words}]
        """,
        _stage_done("pack"),
        _DONE,
        "packing March started",
    ),
    _row(
        "shipped",
        """
        {box:anymonth}<has> (shipped|posted|gone out|sent|out of the door)
        <i>(shipped|posted) {box:anymonth}
        """,
        _box_done("ship"),
        _DONE,
        "March has shipped",
    ),
    _row(
        "packed",
        """
        {box:anymonth}<has> packed
        <i>packed {box:anymonth}
        """,
        _box_done("pack"),
        _DONE,
        "March is packed",
    ),
    _row(
        "card",
        """
        [the ](card|cards|insert card) (for|of) {what:words}<has> (printed|sent to print)
        [the ](card|cards|insert card) (for|of) {what:words}<has> (at the printer|at the printers)
        {what:words} (card|cards|insert card)<has> (printed|sent to print)
        {what:words} (card|cards|insert card)<has> (at the printer|at the printers)
        """,
        _stage_done("card"),
        _DONE,
        "card for March sent to print",
    ),
    _row(
        "count",
        """
        <i>(counted|took) [the ](subscribers|count|final count) (for|of) {what:words}
        """,
        _stage_done("count"),
        _DONE,
        "counted subscribers for March",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    _row(
        "put off",
        """
        <put-off>[ it| that| this]
        <put-off> {keys:tasks}
        """,
        _put_off_how_long,
        _OFF,
        "put off 3 days",
        half=True,
    ),
)
