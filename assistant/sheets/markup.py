"""Marks of a web page, so that no text from outside can be one.

Knows: how an element is written (HTML Living Standard, section 13.1). Must not know: what a page
says. Invariants: text becomes part of a page through `tag` or `theirs` alone, which escape it;
names of elements and attributes are ours; what no page may hold (control characters, halves of
characters) is a mark that stands for it.
"""

import re
from collections.abc import Iterable
from datetime import date
from html import escape
from typing import NamedTuple

_VOID = frozenset(("input", "meta"))
_UNFIT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")
_TURNS = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")  # turn the direction of writing


class Html(NamedTuple):
    """A piece of a page, written out and safe."""

    text: str


Inside = str | Html | Iterable["str | Html"]


def tag(name: str, /, *inside: Inside, **attributes: str | bool) -> Html:
    """Write an element; plain text inside it is escaped. An attribute that is False is left out,
    one that is True has no value; `for_` is written "for", `aria_label` "aria-label"."""
    told = "".join(
        _attribute(key, value) for key, value in attributes.items() if value is not False
    )
    if name in _VOID:
        return Html(f"<{name}{told}>")
    return Html(f"<{name}{told}>{written(*inside)}</{name}>")


def written(*inside: Inside) -> str:
    """Write pieces one after the other."""
    return "".join(map(_written, inside))


def theirs(text: str) -> Html:
    """Write a name that somebody gave, on one line, in its own direction of writing."""
    return tag("bdi", " ".join(text.split()))


def plain(text: str) -> str:
    """The same where no element may stand, as in a title."""
    return " ".join(_TURNS.sub("", text).split())


def time(on: date, words: str) -> Html:
    """Write a day, for people and for programs."""
    return tag("time", words, datetime=on.isoformat())


def raw(name: str, text: str) -> Html:
    """Write a style or a script of ours, to the letter, as its hash is taken."""
    return Html(f"<{name}>{text}</{name}>")


def _written(inside: Inside) -> str:
    if isinstance(inside, Html):
        return inside.text
    if isinstance(inside, str):
        return escape(_UNFIT.sub("\ufffd", inside))
    return "".join(map(_written, inside))


def _attribute(key: str, value: str | bool) -> str:
    name = key.rstrip("_").replace("_", "-")
    return f" {name}" if value is True else f' {name}="{_written(str(value))}"'
