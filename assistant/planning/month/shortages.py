"""What a delivery lacks: short, broken, what it means for the box, what to ask of the supplier.

Knows: what was ordered and came, what the box needs, claims. Must not know: words, who is told.
Invariants: what may be asked is never more than was ordered and did not come good; a credit settles
what it was given for and asks for no piece again; a claim keeps its day while nothing new is asked.
"""

from datetime import date, datetime
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Change, Claim, Item, Mark, Put, Record, Shop
from assistant.planning.month.claims import follow_up, is_open, key_of
from assistant.planning.month.progress import progress

REPLACED = "replaced"  # Claim.how; what was met in another way asks for no piece again


class Shortage(Record):
    """What an item lacks, as counted. Pieces.

    `ordered` of them (None: not known) `came`, `damaged` of those unusable; `short` and `broken`
    can be asked of the supplier still. The box `needed` good ones (None: not known), and `lacks`
    so many beyond the good ones that came. `by` is the day on which it must be in hand.
    """

    item: str  # Item.id
    ordered: int | None
    came: int
    damaged: int
    short: int
    broken: int
    needed: int | None
    lacks: int
    by: date | None

    @property
    def good(self) -> int:
        """Pieces that can be packed."""
        return self.came - self.damaged

    @property
    def missing(self) -> int:
        """Pieces that can be asked of the supplier."""
        return self.short + self.broken

    @property
    def spare(self) -> int:
        """Good pieces beyond what the box needs."""
        return max(self.good - (self.needed or 0), 0)


def shortage(shop: Shop, item_id: str, today: date) -> Shortage:
    """Return what an item lacks; nothing while nothing of it came."""
    found, claim = progress(shop, item_id, today), find(shop.claims, item_id)
    lost = found.damaged if found.ordered is None else max(found.ordered - found.good, 0)
    if claim is not None and claim.settled is not None and claim.how != REPLACED:
        lost = max(lost - claim.short - claim.damaged, 0)
    broken = min(found.damaged, lost)
    return Shortage(
        item=item_id,
        ordered=found.ordered,
        came=found.came,
        damaged=found.damaged,
        short=lost - broken if found.came else 0,
        broken=broken,
        needed=found.needed,
        lacks=found.lacks,
        by=found.latest,
    )


def claimed(
    shop: Shop, found: Shortage, today: date, now: datetime, by: str, damaged_only: bool = False
) -> tuple[Claim, tuple[Change, ...]]:
    """Return the claim for what is lacking, or only for what is damaged of it, and the changes that
    keep it: none where an open claim asks for the same and is still to be followed up. Else it is
    followed up anew."""
    old = find(shop.claims, found.item)
    asked = (0 if damaged_only else found.short), found.broken
    mark = find(shop.ledger, key_of(found.item)) or Mark(key_of(found.item))
    same = old is not None and (old.short, old.damaged) == asked and is_open(old, shop.deliveries)
    if old is not None and same and mark.state == "open" and (old.follow_up or today) > today:
        return old, ()
    again = follow_up(calendars(shop, today).shop, today)
    enough = found.good + found.missing
    new = Claim(found.item, *asked, on=today, follow_up=again, enough=enough)
    silent = (mark.state, mark.until) != ("open", None)
    reopened = (Put(replace(mark, state="open", until=None, at=now, by=by)),) if silent else ()
    return new, (Put(new), *reopened)


def met(claim: Claim, today: date, how: str) -> Claim:
    """Return a claim that was made good, and how."""
    return replace(claim, settled=today, how=how)


def worth(shop: Shop, item: Item, pieces: int) -> tuple[Decimal, Decimal, str] | None:
    """Return the price of a piece as agreed, what so many come to, and the currency; None where no
    price is known."""
    bought = find(shop.purchases, item.id)
    agreed = bought is not None and bought.price is not None
    price = bought.price if bought is not None and agreed else item.unit_cost
    if price is None:
        return None
    said = bought.currency if bought is not None and agreed else item.currency
    return price, price * pieces, said or profile_of(shop).currency
