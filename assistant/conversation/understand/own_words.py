"""Examples in the words of the shop that reads them: an example that is shown works.

Knows: the examples of the table of phrasings, a shop's boxes, items and suppliers. Must not know:
why a question is asked. Invariants: only examples are changed, never what was said; a button with
an example that could not work in this shop is not offered.
"""

import re
from collections.abc import Callable

from msgspec.structs import replace

from assistant.conversation.messages import Button
from assistant.conversation.replies.plain import MONTHS, short
from assistant.conversation.requests import Question
from assistant.conversation.sentences import one_line
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.unread import NO_ANSWERS
from assistant.planning.trade.orders import newest_first

Works = Callable[[str], bool]  # whether a sentence is understood as it stands

_EXAMPLE = re.compile(r"(?<=For example: )(?!add ).+$", re.DOTALL)
_ITEM = re.compile(r"(?:(?<=the )|(?<=order )|^)(?:field )?(?P<word>notebook|tea)\b")
_SMALLER = "pocket notebook"  # the new name in the example of a renaming
_SUPPLIER, _MONTH = re.compile(r"\bAldermoor\b"), re.compile(r"\bMarch\b")
_PERSON = re.compile(r"\bAnna\b")
_ORDER = re.compile(r"\b2027-004\b")


def in_own_words(asked: Question, c: Context, works: Works) -> Question:
    """Return a question with its examples about boxes, items and suppliers that the shop has."""
    text = _EXAMPLE.sub(lambda found: _suited(found[0], c, works), asked.text)
    options = (_option(one, c, works) for one in asked.options)
    return replace(asked, text=text, options=tuple(one for one in options if one is not None))


def _option(option: Button, c: Context, works: Works) -> Button | None:
    """A button as it stands, one with an example of the shop's own, or none."""
    if option.says not in NO_ANSWERS:
        return option
    says = _suited(option.says, c, works)
    if not works(says):
        return None
    return option if says == option.says else Button(short(says, 40), says)


def _suited(example: str, c: Context, works: Works) -> str:
    """An example about what the shop has, as it stands where it has no such thing."""
    if works(example):
        return example
    if example == "done":
        return "what is due"
    example = _with_item(example, c)
    if orders := newest_first(c.shop.orders):
        example = _ORDER.sub(lambda _: orders[0].id, example)
    names = [one_line(supplier.name) for supplier in c.shop.suppliers]
    if names and not any(_SUPPLIER.search(name) for name in names):
        example = _SUPPLIER.sub(lambda _: names[0], example)
    people = [one_line(person.name) for person in c.shop.people if person.name]
    if _PERSON.search(example) and "Anna" not in people:
        return _PERSON.sub(lambda _: people[-1], example) if people else "who is in"
    boxes = sorted((box.id for box in c.shop.boxes), key=lambda id: (id < c.month, id))
    if boxes and not works(example):
        example = _MONTH.sub(lambda _: MONTHS[int(boxes[0][5:7]) - 1], example)
    return example


def _with_item(example: str, c: Context) -> str:
    """The example with the name of the next item, if the shop has none of the example's."""
    found = _ITEM.search(example)
    items = sorted(c.shop.items, key=lambda item: (item.box < c.month, item.box))
    if found is None or not items or any(found["word"] in one.name.casefold() for one in items):
        return example
    name = one_line(items[0].name)
    return _ITEM.sub(lambda _: name, example.replace(_SMALLER, f"small {name}"), count=1)
