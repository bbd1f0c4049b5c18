"""Words for deadlines: a stage of working back, and the item or box that it is of.

Knows: the stages of the house and what people call them, the last list that was shown. Must not
know: dates, what is done with a deadline. Invariants: a stage is one of the house's; a deadline is
named by the key `<item or box id>/<stage>`; which of several is meant is asked.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.conversation.replies.plain import box_name, short
from assistant.conversation.sentences import task
from assistant.conversation.understand.boxes import BOX, next_boxes, read_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import OFFERED, exact_item, known_item, read_item
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find
from assistant.planning.model import StageRule
from assistant.planning.month import claims

# What people call the stages (trade words of the house's own, common practice, no source).
CALLED: tuple[tuple[str, str], ...] = (
    ("order", "order|orders|ordering|place the order|placing the order|buy|buying|reorder"),
    ("source", "source|sourcing|settle sourcing|settling sourcing|find a supplier"),
    (
        "sample",
        "sample|samples|sampling|approve the sample|sample approval|approve the sample and terms",
    ),
    ("stock", "stock|receive|receiving|in hand|arrive|arrival|confirm stock|check in|delivery|get"),
    ("dispatch", "dispatch|despatch|send off|check dispatch|check that it is dispatched"),
    ("start", "start|making|make|making starts"),
    ("deposit", "deposit|pay the deposit|pay deposit"),
    ("balance", "balance|pay the balance|pay balance|invoice"),
    ("pack", "pack|packing|start packing|packing run|start the packing run|packing start"),
    (
        "ship",
        "ship|shipping|post|posting|send|hand over|hand the boxes to the carrier|go out|leave",
    ),
    ("theme", "theme|settle the theme|settle theme|choose the theme|settling the theme"),
    ("photo", "photo|photos|photo sample|photo samples|preview|photograph"),
    ("card", "card|cards|insert card|print|printing|insert cards|packaging|send the card to print"),
    ("count", "count|counting|subscriber count|final count|count subscribers|take the count"),
    ("claim", "claim|follow up the claim|following up the claim|chase the claim"),
)
_STAGE_OF = {word: stage for stage, words in CALLED for word in words.split("|")}
STAGE = "|".join(sorted((re.escape(word) for word in _STAGE_OF), key=len, reverse=True))
_FIRST = re.compile(
    rf"(?:the )?(?P<stage>{STAGE}):?(?: (?:date|run|run for|run of|time))?"
    rf"(?: (?:of|for|in))?(?: (?:the )?(?P<what>.+))?",
    re.IGNORECASE,
)
_LAST = re.compile(
    rf"(?:the )?(?P<what>.+?)(?:'s)? (?:to )?(?P<stage>{STAGE})(?: (?:date|run))?", re.IGNORECASE
)
_NUMBERS = re.compile(r"(?:numbers? |no\.? ?|#)?\d{1,3}(?:(?:, ?| and | & | )\d{1,3})*")
_ALL = ("all", "everything", "all of it", "all of them", "both", "them", "these", "the lot")
_THE_ONE = ("", "it", "that", "this", "that one", "this one")


@dataclass(frozen=True, slots=True)
class Task:
    """A stage of an item or of a box."""

    stage: str
    item: str = ""
    box: str = ""

    @property
    def key(self) -> str:
        """The deadline's key."""
        return f"{self.item or self.box}/{self.stage}"


def read_tasks(text: str, c: Context) -> tuple[str, ...] | Unclear | None:
    """The keys of the deadlines that `text` names: "1", "1 and 3", "all", "it", "order notebook",
    "packing March", a line of the list, or an item of it."""
    said = text.strip(" :,.\"'").lower()
    shown = c.talk.deadlines
    if said in _THE_ONE and (said or len(shown) != 1):
        return shown if len(shown) == 1 else _which(c)
    if said in _THE_ONE or said in _ALL:
        return shown or Unclear("I have not shown you a list yet; say: what is due")
    if _NUMBERS.fullmatch(said):
        return _numbered(tuple(map(int, re.findall(r"\d+", said))), c)
    return _named(text.strip(" :,.\"'"), c)


def _which(c: Context) -> Unclear:
    if not c.talk.deadlines:
        return Unclear("I do not know which task you mean; say: what is due")
    return Unclear("there are several; say which", _offers(c.talk.deadlines, c))


def _offers(keys: Iterable[str], c: Context) -> tuple[tuple[str, str], ...]:
    """Tasks to choose from: what a button shows ("Order: field notebook"), what it says. A name
    that stands in several boxes is shown with its box."""
    keys = tuple(keys)[:OFFERED]
    named = [(_label(key, c), _label(key, c, with_box=True)) for key in keys]
    plain = [label for label, _ in named]
    return tuple(
        (whole if plain.count(label) > 1 else label, task(c.shop, key))
        for (label, whole), key in zip(named, keys, strict=True)
    )


def _label(key: str, c: Context, *, with_box: bool = False) -> str:
    id, _, stage = key.rpartition("/")
    item = find(c.shop.items, id)
    if item is None:
        return f"{stage.capitalize()}: {box_name(id, c.today) if find(c.shop.boxes, id) else id}"
    where = f" ({box_name(item.box, c.today)})" if with_box else ""
    return f"{stage.capitalize()}: {short(item.name, 38 - len(stage) - len(where))}{where}"


def _numbered(numbers: tuple[int, ...], c: Context) -> tuple[str, ...] | Unclear:
    shown = c.talk.deadlines
    if not shown:
        return Unclear("I have not shown you a list yet; say: what is due")
    wrong = [number for number in numbers if not 1 <= number <= len(shown)]
    if wrong:
        return Unclear(f"the last list has {len(shown)}, and no {wrong[0]}")
    return tuple(dict.fromkeys(shown[number - 1] for number in numbers))


def _named(said: str, c: Context) -> tuple[str, ...] | Unclear | None:
    found = read_task(said, c)
    if isinstance(found, Task):
        return (found.key,)
    item = known_item(said, c) if found is None else None
    if not isinstance(item, str):
        return found or item
    shown = tuple(key for key in c.talk.deadlines if key.rpartition("/")[0] == item)
    if len(shown) == 1:
        return shown
    keys = shown or tuple(f"{item}/{rule.name}" for rule in _stages(c, "item") if rule.nudge)
    return Unclear("I do not know what of it; say which", _offers(keys, c))


# --- a stage and what it is of --------------------------------------------------------------


def read_task(text: str, c: Context) -> Task | Unclear | None:
    """The stage and the item or box that `text` names: "order field notebook for 2027-03",
    "packing March", "the notebook order", "confirm tea received (May)"."""
    said = text.strip()
    if (found := _as_listed(said, c)) is not None:
        return found
    problem: Unclear | None = None
    for form in (_FIRST, _LAST):
        match = form.fullmatch(said)
        if match is None:
            continue
        rule = _rule(stage_named(match["stage"]), c)
        found = _of(rule, match["what"] or "", c) if rule else None
        if isinstance(found, Task):
            return found
        problem = problem or found
    return problem


def exact_task(text: str, c: Context) -> Task | None:
    """The task that a button's sentence names: "order field notebook for 2027-03"."""
    stage, _, what = text.strip().partition(" ")
    rule = _rule(stage, c)
    if rule is None:
        return None
    if rule.per == "box":
        box = find(c.shop.boxes, what.removeprefix("for "))
        return Task(stage, box=box.id) if box else None
    item = exact_item(what, c)
    return Task(stage, item=item) if item else None


def stage_named(word: str) -> str:
    """The stage that a word or phrase means, "" for none."""
    return _STAGE_OF.get(word.strip().lower(), "")


def task_of(stage: str, what: str, c: Context) -> Task | Unclear | None:
    """The task of a stage, where what it is of is said apart."""
    rule = _rule(stage, c)
    return _of(rule, what, c) if rule else None


def _stages(c: Context, per: str) -> list[StageRule]:
    return [rule for rule in c.shop.house.stages if rule.per == per]


def _rules(c: Context) -> tuple[StageRule, ...]:
    """The stages of the house, and what is no stage but has a deadline."""
    return (*c.shop.house.stages, claims.RULE)


def _rule(stage: str, c: Context) -> StageRule | None:
    return next((rule for rule in _rules(c) if rule.name == stage), None)


def _of(rule: StageRule, what: str, c: Context) -> Task | Unclear | None:
    what = what.strip(" :,")
    if rule.per == "box":
        box = _box(rule, what, c)
        return Task(rule.name, box=box) if isinstance(box, str) else box
    if not what:
        return _alone(rule, c)
    item = read_item(what, c)
    if not isinstance(item, Unclear):
        return Task(rule.name, item=item) if item else None
    offers = tuple((label, f"{rule.name} {says}") for label, says in item.offers)
    if offers:
        return Unclear(item.why, offers, stray=item.stray)
    return _items_of(rule, what, c) or item


def _box(rule: StageRule, what: str, c: Context) -> str | Unclear | None:
    """The box of a stage; one that must be in the plan."""
    what = re.sub(r"^(?:of|for|in|the|\()+ ?|\)$", "", what)
    if not what:
        shown = [k.rpartition("/")[0] for k in c.talk.deadlines if k.endswith(f"/{rule.name}")]
        if len(shown) == 1:
            return shown[0]
        known = c.talk.box if find(c.shop.boxes, c.talk.box) else ""
        offers = tuple((label, f"{rule.name} for {id}") for label, id in next_boxes(c))
        return known or Unclear("I do not know of which box; say its month", offers)
    box = read_box(what, c)
    if isinstance(box, str) and not find(c.shop.boxes, box):
        return Unclear(f"there is no box of {box_name(box, c.today)} in the plan")
    return box


def _alone(rule: StageRule, c: Context) -> Task | Unclear:
    """A stage without its item: the only one of the last list, or of the item last spoken of."""
    shown = [key for key in c.talk.deadlines if key.endswith(f"/{rule.name}")]
    if len(shown) == 1:
        return Task(rule.name, item=shown[0].rpartition("/")[0])
    if not shown and find(c.shop.items, c.talk.item):
        return Task(rule.name, item=c.talk.item)
    return Unclear("I do not know of which item; say its name", _offers(shown, c))


def _items_of(rule: StageRule, what: str, c: Context) -> Unclear | None:
    """A question which item, where only the box of an item's stage was named."""
    box = read_box(what, c)
    if not isinstance(box, str):
        return None
    keys = (f"{item.id}/{rule.name}" for item in c.shop.items if item.box == box)
    return Unclear(f"I do not know which item of {box_name(box, c.today)}", _offers(keys, c))


def _as_listed(said: str, c: Context) -> Task | Unclear | None:
    """A line of the list, as the house words it: "confirm tea received (May)"."""
    low = said.lower()
    where = re.fullmatch(rf"(.+?),? \(?(?:for |of )?({BOX})\)?", said, re.IGNORECASE)
    for rule in _rules(c):
        before, item, after = rule.todo.lower().partition("{item}")
        if not before or not low.startswith(before):
            continue
        if not item:
            return _of(rule, said[len(before) :], c)
        text, tail = (where[1], f" for {where[2]}") if where else (said, "")
        if not after or text.lower().endswith(after):
            name = text[len(before) : len(text) - len(after)]
            found = _of(rule, f"{name}{tail}", c) if name.strip() else None
            if isinstance(found, Task):
                return found
    return None
