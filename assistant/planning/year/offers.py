"""What suppliers offer: a price list laid over the offers that are kept, offers found by words, and
what could go into a box.

Knows: offers, the lines of a price list, ideas, what a box has left (contents.py). Must not know:
file formats, how an offer is told. Invariants: a list never removes an offer and never empties a
field, but that breaks and validity go with the price they came with; an older quote never takes the
place of a newer one; the same list twice changes nothing;
what is suggested is an idea that waits or an offer that is kept, never anything else; the same
arguments give the same answer, in the same order.

A score counts words: of a theme or of a search, against the words of an idea or an offer, in any
number or with a short ending. In a search, a word that no offer has stands for those nearly like it
(NEAR). Weights and thresholds are ours, from no source.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from msgspec.structs import replace

from assistant.planning.bringing_in import SHARED_SIGNS, fold
from assistant.planning.changes import find, profile_of
from assistant.planning.model import (
    Box,
    Change,
    Idea,
    Item,
    Offer,
    OfferRow,
    Put,
    Record,
    Shop,
    Supplier,
)
from assistant.planning.year.contents import Contents, contents, fits

NEAR = 80  # of 100: a word this near another may be that one, misspelt
SHORTEST_NEAR = 4
ENDING = 2  # letters
OLD = timedelta(days=183)  # a quote older than half a year is asked for anew: common practice
MONTHS_WAITED = 6  # after which waiting counts no more

FACTS = ("type", "price", "minimum", "case_pack", "lead", "grams", "mm", "made_in", "notes")
OF_A_PRICE = ("breaks", "valid_until")  # what an offer tells of its price


# --- a price list, laid over what is kept ---------------------------------------------------


class Repriced(Record):
    """An offer whose price a newer list changes. None is a price that is not told."""

    name: str
    old: Decimal | None
    new: Decimal | None
    was_in: str  # currencies, "" the shop's
    now_in: str


class IncomingOffers(Record):
    """What bringing a price list in would do. Nothing is done until `changes` are applied.

    `new` and `repriced` name offers; `otherwise` are names of offers of which something else
    changes, `anew` those of which only the date of the quote does; `same` counts those that stay
    as they were, `newer` those of which a newer quote is kept, `unlisted` the offers of the same
    suppliers that the list does not have: they stay.
    """

    changes: tuple[Change, ...] = ()
    new: tuple[str, ...] = ()
    repriced: tuple[Repriced, ...] = ()
    otherwise: tuple[str, ...] = ()
    anew: tuple[str, ...] = ()
    same: int = 0
    newer: int = 0
    unlisted: int = 0
    suppliers: tuple[str, ...] = ()  # names of those that were not known


def bring_in(
    shop: Shop, rows: Iterable[OfferRow], supplier: str, today: date, ref: str
) -> IncomingOffers:
    """Return what these rows would change on `today`, the day of a quote that names none.

    `supplier` is the name of whose list it is, where a row names none. Offers are matched by
    supplier and name; capitals and spaces do not matter. New records get the ids `<ref>.1` and on.
    """
    work = _Work(shop, today, ref)
    for row in rows:
        work.take(row, row.supplier or supplier)
    return work.told()


class _Work:
    """The offers while a list is being laid over them; thrown away afterwards."""

    def __init__(self, shop: Shop, today: date, ref: str) -> None:
        self.today, self.ref = today, ref
        self.currency = profile_of(shop).currency
        self.ids = {one.id for one in shop.offers} | {one.id for one in shop.suppliers}
        self.ids |= {one.id for one in shop.items}
        self.given = 0
        self.suppliers = {fold(one.name): one for one in reversed(shop.suppliers)}
        self.old = {(one.supplier, fold(one.name)): one for one in shop.offers}
        self.offers = dict(self.old)
        self.touched: dict[tuple[str, str], None] = {}
        self.new_suppliers: list[Supplier] = []
        self.newer = 0

    def take(self, row: OfferRow, named: str) -> None:
        """Lay one line over the offers."""
        supplier = self.supplier(named)
        key = supplier, fold(row.name)
        self.touched[key] = None
        kept = self.offers.get(key)
        if kept is None:
            name = " ".join(row.name.split())
            kept = Offer(id=self.new_id(), supplier=supplier, name=name)
            self.offers[key] = replace(self.with_facts(kept, row), quoted=row.quoted or self.today)
            return
        if row.quoted and kept.quoted and row.quoted < kept.quoted:
            self.newer += 1
            return
        new = self.with_facts(kept, row)
        quoted = row.quoted or (kept.quoted if new == kept else self.today)
        self.offers[key] = replace(new, quoted=quoted)

    def with_facts(self, offer: Offer, row: OfferRow) -> Offer:
        """The offer with what a line says of it; a price comes with its currency, and another one
        with its own breaks and validity."""
        said = {f: value for f in FACTS if (value := getattr(row, f)) not in (None, "")}
        if row.price is not None:
            said["currency"] = own_currency(row.currency, self.currency)
        priced = offer.price, offer.currency
        another = (said.get("price", offer.price), said.get("currency", offer.currency)) != priced
        told = {f: getattr(row, f) for f in OF_A_PRICE if another or getattr(row, f)}
        return replace(offer, **said, **told)

    def supplier(self, name: str) -> str:
        key = fold(name)
        if key not in self.suppliers:
            made = Supplier(id=self.new_id(), name=" ".join(name.split()))
            self.suppliers[key] = made
            self.new_suppliers.append(made)
        return self.suppliers[key].id

    def new_id(self) -> str:
        self.given += 1
        while f"{self.ref}.{self.given}" in self.ids:
            self.given += 1
        return f"{self.ref}.{self.given}"

    def told(self) -> IncomingOffers:
        """What is new and what changes."""
        touched = [(self.old.get(key), self.offers[key]) for key in self.touched]
        put = [new for old, new in touched if old != new]
        pairs = [(old, new) for old, new in touched if old is not None and old != new]
        repriced = [
            Repriced(new.name, old.price, new.price, old.currency, new.currency)
            for old, new in pairs
            if (old.price, old.currency) != (new.price, new.currency)
        ]
        rest = [(o, n) for o, n in pairs if (o.price, o.currency) == (n.price, n.currency)]
        anew = {new.id: new.name for old, new in rest if _as_of(old, new) == new}
        whose = {supplier for supplier, _ in self.touched}
        return IncomingOffers(
            changes=(*map(Put, self.new_suppliers), *map(Put, put)),
            new=tuple(new.name for old, new in touched if old is None),
            repriced=tuple(repriced),
            otherwise=tuple(new.name for _, new in rest if new.id not in anew),
            anew=tuple(anew.values()),
            same=sum(old == new for old, new in touched) - self.newer,
            newer=self.newer,
            unlisted=sum(key[0] in whose and key not in self.touched for key in self.old),
            suppliers=tuple(one.name for one in self.new_suppliers),
        )


def _as_of(old: Offer, new: Offer) -> Offer:
    """An offer, quoted anew."""
    return replace(old, quoted=new.quoted, valid_until=new.valid_until)


def own_currency(said: str, own: str) -> str:
    """Return a currency as an offer keeps it: "" when it is the shop's `own`; a sign that several
    currencies share is the shop's when it is one of them, else the first."""
    codes = SHARED_SIGNS.get(said, (said,))
    return "" if own in codes else codes[0]


def item_of(offer: Offer, item: Item) -> Item:
    """Return an item with all that its offer tells of it."""
    return replace(
        item,
        name=offer.name,
        type=offer.type,
        supplier=offer.supplier,
        unit_cost=offer.price,
        currency=offer.currency,
        lead=offer.lead,
        made_in=offer.made_in,
        minimum=offer.minimum,
        case_pack=offer.case_pack,
        quoted=offer.quoted,
        grams=offer.grams,
        mm=offer.mm,
        breaks=offer.breaks,
        setup=offer.setup,
    )


def is_old(quoted: date | None, today: date) -> bool:
    """Say whether a quote is older than half a year (common practice, no source)."""
    return quoted is not None and today - quoted > OLD


# --- words ----------------------------------------------------------------------------------

LITTLE = (
    "the a an and or of in on to for with from by at is are it that this my our some any all as"
    " maybe about into set pack piece pieces each new box item items offer offers"
)


@lru_cache(maxsize=16_384)
def words_in(text: str) -> tuple[str, ...]:
    """Return the words of a text that say something, in the singular, each once."""
    words = re.findall(r"[^\W\d_]{3,}", text.casefold())
    return tuple(dict.fromkeys(_singular(word) for word in words if word not in LITTLE.split()))


def _singular(word: str) -> str:
    if len(word) > 4 and word.endswith(("shes", "ches", "xes", "sses")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def shared(wanted: Sequence[str], text: str) -> tuple[str, ...]:
    """Return those of the wanted words that stand in a text, in whatever form."""
    there = words_in(text) if wanted else ()
    return tuple(
        word for word in wanted if word in there or any(_another_form(word, one) for one in there)
    )


def _meant(word: str, offers: Iterable[Offer]) -> str:
    """The word that a searched one stands for: itself where an offer has it, else the one of the
    offers' words that is nearly like it, if any is."""
    every = {one for offer in offers for one in words_in(_all_of(offer))}
    if word in every or any(_another_form(word, one) for one in every):
        return word
    alike = sorted(one for one in every if len(one) >= SHORTEST_NEAR and one[0] == word[0])
    if len(word) < SHORTEST_NEAR or not alike:
        return word
    from rapidfuzz import fuzz, process  # only a word that stands nowhere is compared

    near = process.extractOne(word, alike, scorer=fuzz.ratio, score_cutoff=NEAR)
    return near[0] if near else word


def _all_of(offer: Offer) -> str:
    return f"{offer.name} {offer.type} {offer.notes}"


def _another_form(one: str, other: str) -> bool:
    """Whether one word is the other with a short ending: "moss", "mossy"; "paint", "painted"."""
    shorter, longer = sorted((one, other), key=len)
    return (
        len(shorter) >= SHORTEST_NEAR
        and longer.startswith(shorter)
        and (len(longer) - len(shorter) <= ENDING)
    )


def search(shop: Shop, words: str, supplier: str = "") -> tuple[Offer, ...]:
    """Return the offers about some words, the best first; of one supplier (Supplier.id) where it
    is named, all of them where no word says anything.

    A word counts 3 in a name, 2 in a type and 1 in the notes. Offers with more of the words come
    first, then those with the higher count, then by name.
    """
    wanted = words_in(words)
    own = [one for one in shop.offers if supplier in ("", one.supplier)]
    if not wanted:
        return () if words.strip() else tuple(sorted(own, key=lambda one: fold(one.name)))
    wanted = tuple(dict.fromkeys(_meant(word, own) for word in wanted))
    scored = [(_found(one, wanted), one) for one in own]
    found = [(score, one) for score, one in scored if score[0]]
    found.sort(key=lambda pair: (-pair[0][0], -pair[0][1], fold(pair[1].name), pair[1].id))
    return tuple(one for _, one in found)


def _found(offer: Offer, wanted: Sequence[str]) -> tuple[int, int]:
    """How many of the words an offer has, and how much they count."""
    places = (offer.name, 3), (offer.type, 2), (offer.notes, 1)
    hits = [(shared(wanted, text), weight) for text, weight in places]
    return len({word for found, _ in hits for word in found}), sum(
        len(found) * weight for found, weight in hits
    )


# --- what could go into a box ---------------------------------------------------------------


class Suggestion(Record):
    """Something that could go into a box: an idea or an offer, by its id.

    `words` are those that it shares with the box's theme; `in_month` says that the idea is for the
    box's month; `affordable` that its price is known and fits what is left. `score` ranks it.
    """

    source: Literal["idea", "offer"]
    id: str
    name: str
    score: int
    words: tuple[str, ...] = ()
    in_month: bool = False
    affordable: bool = False


def suggestions(shop: Shop, box_id: str, today: date) -> tuple[Suggestion, ...]:
    """Return what of the inbox and of the offers of suppliers in the plan could go into a box, the
    best first.

    An idea must be for the box's month or share a word with its theme: 4 for the month, 3 for each
    word, 1 for each 5 votes (at most 3), 1 for each 2 months that it waited (at most 3). An offer
    must share a word with the theme or have a price that fits what is left: 3 for each word in its
    name or type, 2 for one in its notes, 2 where the price fits, less 2 where the box has an item
    of its type. An offer is left out where the box has an item of its name, where its price or its
    weight is more than is left, and where it is longer than the mailer.
    """
    box = find(shop.boxes, box_id) or Box(id=box_id)
    theme = words_in(box.theme)
    inside = [item for item in shop.items if item.box == box_id]
    named = {fold(item.name) for item in inside}
    held = contents(shop, box_id, today)
    ideas = (_of_idea(one, theme, int(box_id[5:7]), today) for one in shop.ideas)
    types = {fold(item.type) for item in inside if item.type}
    whose = {item.supplier for item in shop.items if item.supplier}
    offers = (
        _of_offer(shop, one, theme, types, held)
        for one in shop.offers
        if one.supplier in whose and fold(one.name) not in named
    )
    every = [one for one in (*ideas, *offers) if one is not None]
    return tuple(sorted(every, key=lambda one: (-one.score, one.source, fold(one.name), one.id)))


def elsewhere(shop: Shop, box_id: str) -> int:
    """Count the offers that share a word with a box's theme, of suppliers that supply nothing in
    the plan yet."""
    box = find(shop.boxes, box_id)
    whose = {item.supplier for item in shop.items if item.supplier}
    found = search(shop, box.theme) if box and box.theme else ()
    return sum(one.supplier not in whose for one in found)


def _of_idea(idea: Idea, theme: Sequence[str], month: int, today: date) -> Suggestion | None:
    if idea.state != "waiting":
        return None
    words, in_month = shared(theme, idea.text), month in idea.months
    if not words and not in_month:
        return None
    waited = min((today - idea.at.date()).days // 30, MONTHS_WAITED) // 2
    score = 4 * in_month + 3 * len(words) + min(idea.votes // 5, 3) + max(waited, 0)
    return Suggestion("idea", idea.id, idea.text, score, words, in_month)


def _of_offer(
    shop: Shop, offer: Offer, theme: Sequence[str], types: set[str], held: Contents
) -> Suggestion | None:
    mailer = profile_of(shop).mailer_mm
    known = offer.price is not None and not offer.currency and held.left is not None
    affordable = known and (offer.price or Decimal(0)) <= (held.left or Decimal(0))
    heavy = offer.grams and held.grams_left is not None and offer.grams > held.grams_left
    long = offer.mm and mailer and not fits(offer.mm, mailer)
    if (known and not affordable) or heavy or long:
        return None
    named = shared(theme, f"{offer.name} {offer.type}")
    noted = tuple(word for word in shared(theme, offer.notes) if word not in named)
    if not named and not noted and not affordable:
        return None
    again = 2 * (bool(offer.type) and fold(offer.type) in types)
    score = 3 * len(named) + 2 * len(noted) + 2 * affordable - again
    words = (*named, *noted)
    return Suggestion("offer", offer.id, offer.name, score, words, affordable=affordable)
