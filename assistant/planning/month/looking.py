"""What to look for on goods that are counted in, by the kind of goods.

Knows: words of names, and what commonly goes wrong with each kind. Must not know: deliveries, how
many pieces to look at (sampling.py), duties that goods carry (cautions.py). Invariants: the last
word that is known says what a thing is, so that a "seed head print" is a print, but a vessel is of
what it is made of ("tin mug"); what is not known is looked at like anything; `never` is a fault of
which one piece is too many.

The kinds, their words and what to look for: common practice, no source.
"""

import re
from functools import lru_cache

from assistant.planning.model import Item, Record


class Look(Record):
    """What to look for on one kind of goods; `words` (singular) name such goods."""

    goods: str
    words: str
    faults: tuple[str, ...]
    never: str = ""


LOOKS: tuple[Look, ...] = (
    Look(
        "paper goods",
        "book notebook journal diary planner paper card postcard print poster calendar sticker"
        " envelope zine bookmark map leaflet pad sketchbook stationery label tape",
        ("bent corners", "damp", "print crooked or off colour", "pages loose or missing"),
    ),
    Look(
        "pins and metal",
        "pin badge brooch charm keyring medal coin tin metal brass steel clip hook bell trowel",
        ("scratches", "clasp that does not hold", "enamel or plating uneven"),
        "a sharp edge",
    ),
    Look(
        "textiles",
        "bag tote sock scarf towel cloth linen cotton wool shirt hat glove bandana apron blanket"
        " ribbon yarn thread patch pouch napkin felt fabric",
        ("stains", "open seams", "wrong size or colour", "a smell of damp"),
        "a needle or pin left in",
    ),
    Look(
        "glass and ceramic",
        "mug cup glass jar bottle ceramic vase bowl dish plate pot saucer tile ornament bauble",
        ("chips and cracks", "glaze or print uneven", "lids that do not close"),
        "broken glass in a carton: put it aside whole",
    ),
    Look(
        "food and drink",
        "food biscuit cookie cake chocolate sweet honey jam tea coffee cocoa snack nut spice syrup"
        " fudge curd cracker oat granola chutney sauce salt sugar drink cordial",
        ("best-before date on each, and long enough", "crushed or damp", "label with allergens"),
        "an open or swollen pack",
    ),
    Look(
        "candles and wax",
        "candle tealight wax melt taper wick",
        ("cracks", "softened or bent", "wick loose or off centre", "warning label there"),
    ),
    Look(
        "electronics",
        "lamp torch light lantern charger cable battery speaker timer powerbank usb led clock",
        ("try each one: does it work", "marks and leaflet there", "right plug or lead"),
        "a swollen, hot or leaking cell: put it aside, away from the rest, and ask the supplier",
    ),
    Look(
        "seeds and plants",
        "seed bulb plant cutting seedling",
        ("packets dry and closed", "variety as ordered", "sow-by year on each", "mould"),
    ),
    Look(
        "cosmetics",
        "balm cream lotion soap shampoo serum perfume cologne oil scrub cosmetic",
        ("leaks", "seals whole", "list of contents and batch number on each", "best-before"),
    ),
    Look(
        "drawing and writing tools",
        "pencil pen brush crayon pastel marker ink paint eraser charcoal chalk",
        ("broken points", "try a few: do they write", "dried out", "right colours"),
    ),
    Look(
        "wood",
        "wood wooden bamboo spoon box crate frame peg",
        ("splinters", "cracks and warping", "mould or damp"),
    ),
)
ANYTHING = Look(
    "goods of this kind",
    "",
    ("the right thing, size and colour", "clean, dry and whole", "packed as agreed"),
)
_JOINTS = re.compile(r"\b(?:with|in|for|and|plus|of|from|by)\b|[,;/+&(]")
_WORD = re.compile(r"[a-z]+")
_VESSELS = (
    *("mug", "cup", "bottle", "bowl", "dish", "plate"),
    *("pot", "jar", "vase", "box", "spoon", "ornament"),
)
_IRREGULAR = {"knives": "knife", "batteries": "battery", "diaries": "diary"}


def look(item: Item) -> Look:
    """Return what to look for on an item: by its name, else by its form or type."""
    said = (item.name, item.form, item.type)
    return next((found for text in said if (found := _named(text))), ANYTHING)


def _named(text: str) -> Look | None:
    """The kind that the last known word of the first part of a text names, else of the others."""
    for part in _JOINTS.split(text.casefold()):
        words = [form for word in reversed(_WORD.findall(part)) for form in _forms(word)]
        known = [word for word in words if word in _BY_WORD]
        if known:
            of = (word for word in known if word not in _VESSELS)
            return _BY_WORD[next(of, known[0]) if known[0] in _VESSELS else known[0]]
    return None


@lru_cache(1024)
def _forms(word: str) -> tuple[str, ...]:
    """A word as written, and what could be its singular."""
    if word in _IRREGULAR:
        return word, _IRREGULAR[word]
    if re.search(r"(?:sh|ch|ss|x)es$", word):
        return word, word[:-2]
    return (word, word[:-1]) if word.endswith("s") and not word.endswith("ss") else (word,)


_BY_WORD = {word: one for one in LOOKS for word in one.words.split()}
