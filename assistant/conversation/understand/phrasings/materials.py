"""Ways to speak of what every box is packed with: mailers, tissue, tape.

Knows: requests of materials. Must not know: how a line is matched, what is enough. Invariants: a
material is never an item of the plan; what a card costs is no number of cards.
"""

import re
from decimal import Decimal

from assistant.conversation.month_requests import DropMaterial, SetMaterial, ShowMaterials
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.run_facts import known_material, read_material
from assistant.conversation.understand.unclear import Unclear

_WORDS = {
    "<here>": "(in stock|left|on hand|there|in the cupboard|on the shelf)",
    "<a-box>": "(a box|per box|each box|for each box|in each box|in every box|a parcel)",
    "<have>": "(we have|we've|we've got|we have got|i have|i've|i've got|there are|there is)",
    "<came>": "(came|arrived|have come|are here|bought)",
    "<have-we>": "(do we have|have we|have we got|is there|are there|have i)",
}


# --- slots, and what is built ---------------------------------------------------------------


def _per_box(text: str, _c: Context) -> Decimal:
    halves = {"half": Decimal("0.5"), "half a": Decimal("0.5"), "one": Decimal(1)}
    said = text.strip().lower()
    return halves.get(said) or Decimal(said.replace(",", "."))


def _quoted(text: str, c: Context) -> str | None:
    name = text.strip().strip('"').strip()
    return known_material(name, c) or (name if re.search(r"\w", name) else None)


KINDS: dict[str, Kind] = {
    "perbox": Kind(r"\d{1,4}(?:[.,]\d{1,4})?|half a|half|one", _per_box),
    "material": Kind(r'"?[^:;,"\d]{2,40}?"?', read_material),
    "knownmaterial": Kind(r'"?[^:;,"]{2,40}?"?', known_material),
    "materialname": Kind(r'"[^"]{1,60}"|[^:;"]{2,40}?', _quoted),
}


def _material(
    _c: Context,
    name: str,
    per: Decimal | None = None,
    stock: int | None = None,
    more: int | None = None,
) -> Built:
    costs = per is not None and per != int(per)
    if costs and name in ("card", "cards", "insert card", "insert cards"):
        return None  # "card 0.30 a box" is what it costs
    return SetMaterial(name, per, stock, more)


def _not_kept(_c: Context, name: str, more: int | None = None) -> Built:
    """Orders of materials are not kept, and what came needs its number."""
    if more is None:
        return Unclear("I do not know how many came")
    came = f"{more} {name} came"
    return Unclear(
        f"I keep no orders of {name}, only what is there; say it when they came",
        ((came, came),),
        whole=True,
    )


def _row(
    name: str, pattern: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, words in _WORDS.items():
        pattern = pattern.replace(short, words)
    return Phrasing(name, pattern, build, gist, example, asks=asks)


_MATERIAL = "mailers: 1 a box, 620 in stock"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "material",
        """
        material {name:materialname}[:| -] {per:perbox} a box[, {stock:count} in stock]
        material {name:materialname}[:| -] {stock:count} in stock
        """,
        _material,
        "a material",
        _MATERIAL,
    ),
    _row(
        "drop material",
        "(drop|forget|remove|delete) [the ]material {name:materialname}",
        lambda _c, name: DropMaterial(name),
        "a material to drop",
        "drop material tape",
    ),
    _row(
        "more material",
        """
        {more:count}[ more| new| of the| of] {name:material} <came>
        (bought|got|received|fetched)[ another] {more:count}[ more| new] {name:material}
        """,
        _material,
        "more of a material",
        "500 mailers came",
    ),
    _row(
        "ordered material",
        """
        <i>ordered {more:count}[ more| new| rolls of| packs of] {name:material}
        (received|got) [the |our |all ]{name:material}
        [the |our ]{name:material} <came>
        """,
        _not_kept,
        "packing material",
        "500 mailers came",
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "material",
        """
        {name:material}[:|,| -| =] {per:perbox} <a-box>[[,| and] {stock:count} <here>]
        {name:material}[:|,| -] {stock:count} <here>[[,| and] {per:perbox} <a-box>]
        {per:perbox} {name:material} <a-box>
        (we|i) (use|need|put in|take) {per:perbox}[ of] {name:material} <a-box>
        (each|every|a) box (takes|needs|gets|uses) {per:perbox}[ of] {name:material}
        <have>[ still| now] {stock:count}[ rolls of| packs of] {name:material} <here>
        <have>[ still| now] {stock:count} {name:material}
        {stock:count}[ rolls of| packs of] {name:material} <here>
        <i>counted {stock:count} {name:material}
        """,
        _material,
        "a material",
        _MATERIAL,
    ),
    _row(
        "drop material",
        """
        (drop|forget|remove|delete) [the |our ]{name:knownmaterial}
        (no more|we need no more|we use no) {name:knownmaterial}
        (we |i )(do not|don't|no longer) use [the |any ]{name:knownmaterial}[ any more| anymore]
        """,
        lambda _c, name: DropMaterial(name),
        "a material to drop",
        "drop material tape",
    ),
    _row(
        "materials",
        """
        [show |show me |list |how are ][the |our |all ][packing ]materials[ left| in stock]
        (which|what) [packing ]materials (are short|do we need|are left|do we have|have we|run out)
        <have-we> enough [packing ]materials
        <have-we>[ got]\
 (enough|any|how many|how much) {name:material}[ left]
        how (many|much) {name:material} (do we have|have we|are left|is left|are there)[ left]
        how (many|much) {name:material} (do we need|do i need|are needed|is needed)
        how many {name:material}
        (enough|any) {name:material}[ left]
        """,
        lambda _c, **_name: ShowMaterials(),
        "the packing materials",
        "materials",
        asks=True,
    ),
)
