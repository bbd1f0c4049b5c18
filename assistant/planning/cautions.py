"""Goods that plainly carry duties, by the words of their name.

Knows: words, and the kind of goods they plainly name. Must not know: which rule applies, or how a
caution is worded. Invariants: a kind is only ever a reason to look further; that no kind is found
says nothing, and nothing here permits anything. The words and kinds: common practice, no source.
"""

import re
from itertools import chain

# (kind of goods, words that name it, in the singular)
KINDS: tuple[tuple[str, str], ...] = (
    ("lithium cells and batteries", "lithium battery lamp torch lantern powerbank charger"),
    ("aerosols", "aerosol spray"),
    ("alcohol and perfume", "alcohol wine beer gin whisky rum cider brandy perfume cologne"),
    ("candles and flames", "candle tealight match lighter firework sparkler"),
    ("food: allergens and best-before dates", "food biscuit cookie cake chocolate sweet honey jam"),
    ("food: allergens and best-before dates", "tea coffee cocoa snack nut spice syrup fudge"),
    ("food: allergens and best-before dates", "curd cracker flour yeast oat granola chutney"),
    ("cosmetics", "balm cream lotion soap shampoo cosmetic serum"),
    ("knives and blades", "knife blade scissor"),
    ("seeds and plants, across borders above all", "seed bulb plant cutting seedling"),
    ("children's goods", "toy rattle teether"),
)

_IRREGULAR = {"knives": "knife", "batteries": "battery", "matches": "match"}


def kinds(*names: str) -> tuple[str, ...]:
    """Return the kinds of goods that these names plainly are, in the table's order, each once."""
    words = frozenset(chain.from_iterable(map(_words, names)))
    return tuple(dict.fromkeys(kind for kind, named in KINDS if words & frozenset(named.split())))


def _words(name: str) -> set[str]:
    """The words of a name in lower case, in the plural as written and in the singular."""
    said = re.findall(r"[a-z]+", name.casefold())
    return {*said, *(_IRREGULAR.get(word) or word.removesuffix("s") for word in said)}
