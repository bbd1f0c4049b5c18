"""The base of every record, what the house decides for all shops, and lengths of time.

Knows: config/ as records, lead times, closures. Must not know: where it is read from, any one shop.
Invariants: those of model.py, through which all of these are known.
"""

from datetime import date, time
from decimal import Decimal
from typing import Literal, dataclass_transform

import msgspec


@dataclass_transform(frozen_default=True, field_specifiers=(msgspec.field,))
class Record(msgspec.Struct, frozen=True, omit_defaults=True, tag_field="kind", gc=False):
    """Base of every record: immutable, compared by value, written as JSON by msgspec. Frozen values
    cannot refer to each other in a ring, so the collector of rings need not look at them."""


# --- what the house decides (config/), never stored with a shop ------------------------------

Unit = Literal["working", "calendar"]
Party = Literal["shop", "supplier"]


class StageRule(Record, forbid_unknown_fields=True):
    """One stage of working back: how far before another stage it must happen.

    `days` before `back_from` on the calendar of `party`; a calendar-day stage lands on a
    working day of that party (rolled back). Where `days_from` is set, the number comes from
    the plan instead: "packing" (boxes / (pace x crew x hours)), "transit", "making",
    "confirming", "balance" (net days after dispatch; this one counts forward).
    `per` says whether each item or only the box has this stage. `notice` is the number of
    working days ahead at which the first nudge is given.

    A stage is done when the stage that it hangs on is done, unless `implied` is false (an order
    placed does not pay the deposit). `done_if` "theme": done also when the box has a theme.
    `only_if` "deposit": only where the supplier asks for a deposit. A box stage that hangs on the
    items' stages takes the earliest of them; a box without items has it `without_items` working
    days before the ship date.
    """

    name: str
    per: Literal["item", "box"]
    back_from: str
    days: int = 0
    unit: Unit = "working"
    party: Party = "shop"
    days_from: str = ""
    notice: int = 0
    todo: str = ""  # what to do, as in "order the {item}"
    nudge: bool = True  # a stage without a nudge only carries the dates
    implied: bool = True
    done_if: Literal["", "theme"] = ""
    only_if: Literal["", "deposit"] = ""
    without_items: int = 0


class OccasionRule(Record, forbid_unknown_fields=True):
    """A day worth marking, from config/occasions.toml. Exactly one of `on` (MM-DD), `rule` (an
    RFC 5545 recurrence rule of one day a year) and `easter` (days from western Easter Sunday)
    says when. `countries` (ISO 3166 alpha-2) none: everywhere. `words` suit its themes."""

    name: str
    on: str = ""
    rule: str = ""
    easter: int | None = None
    countries: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


CautionWhen = Literal["plan", "order", "pack"]


class CautionRule(Record, forbid_unknown_fields=True):
    """Goods that carry duties, from config/cautions.toml. `words` (singular) name such goods
    plainly, and so do the goods of the rules in `of`; at `maybe` the assistant asks `ask`, in
    which {item} is the item's name. `plan`, `order`, `pack` say what to check and with whom at
    planning, before ordering, before packing. `melts`: a matter of hot months only."""

    goods: str
    of: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    maybe: tuple[str, ...] = ()
    ask: str = ""
    plan: str = ""
    order: str = ""
    pack: str = ""
    melts: bool = False


class GoodsWords(Record, forbid_unknown_fields=True):
    """Words that turn the name of goods into something else, from config/cautions.toml: what shows
    goods (`pictured`), what is made for goods and may hold some (`holders`), words that belong
    together and name none of them (`other`)."""

    pictured: tuple[str, ...] = ()
    holders: tuple[str, ...] = ()
    other: tuple[str, ...] = ()


Percents = tuple[int, int, int]  # of a quote: at least, most likely, at most
AS_QUOTED: Percents = (100, 100, 100)


class ChanceRule(Record, forbid_unknown_fields=True):
    """How late deliveries are while nothing is known of their supplier, from [chance] of
    config/defaults.toml: percent of what was quoted, for making and transit, from home and abroad.

    `confidence`, percent, that all of a box is in hand when packing begins. `weight`: how many
    deliveries a kind counts for beside a supplier's own record. `correlation`, percent, of the
    delays of what one supplier sends.
    """

    confidence: int = 90
    weight: int = 4
    correlation: int = 50
    making_home: Percents = AS_QUOTED
    making_abroad: Percents = AS_QUOTED
    transit_home: Percents = AS_QUOTED
    transit_abroad: Percents = AS_QUOTED


class FeedRule(Record, forbid_unknown_fields=True):
    """Where the calendar can be subscribed to, from [feed] of config/defaults.toml: the `port` and
    the address to `listen` on (port 0: nowhere), and what an `address` begins with as the world
    sees it, "" where nothing stands before this machine."""

    port: int = 0
    listen: str = "127.0.0.1"
    address: str = ""

    @property
    def begins(self) -> str:
        """What an address of the calendar begins with; "" where there is none."""
        if not self.port:
            return ""
        host = f"[{self.listen}]" if ":" in self.listen else self.listen
        return self.address.rstrip("/") or f"http://{host}:{self.port}"

    @property
    def public(self) -> bool:
        """Whether it can be reached from other machines."""
        return bool(self.address) or self.listen not in ("127.0.0.1", "::1", "localhost")


class House(Record):
    """Defaults of this installation, read from config/ (see edges/settings.py)."""

    stages: tuple[StageRule, ...]
    digest_at: time
    quiet_from: time
    quiet_to: time
    weekends: bool
    transit_home_days: int  # calendar days, supplier in the shop's own country
    transit_abroad_days: int  # calendar days, supplier elsewhere
    boxes_per_hour: int
    crew: int
    hours_per_day: int
    horizon_days: int  # how far ahead "what is due" looks, calendar days
    occasions: tuple[OccasionRule, ...] = ()
    cautions: tuple[CautionRule, ...] = ()
    goods_words: GoodsWords = GoodsWords()
    chance: ChanceRule = ChanceRule()
    confidence: Decimal = Decimal(95)  # percent, that a box does not run short
    damage: Decimal = Decimal(2)  # percent of pieces that arrive unusable
    interest: Decimal = Decimal(8)  # percent a year on money tied up in stock
    charge_day: int = 1  # of the month, on which renewals are charged
    payout_days: int = 3  # from a charge to the bank, working days
    backup_at: time = time(3)  # local time of the shop
    backup_keep: int = 7  # days of which a backup is kept; 0: none is made by itself
    feed: FeedRule = FeedRule()


class Lead(Record):
    """A lead time from start of making to dispatch, in the supplier's working days or in
    calendar days (a quote in weeks is taken as calendar days)."""

    days: int
    unit: Unit = "working"


class Closure(Record):
    """Days on which a party does not work.

    One-off: `first`..`last`, inclusive (`last` None is open-ended). Yearly: the same days of
    every year. Festival: `before` and `after` calendar days either side of the lunar new year.
    """

    reason: str
    first: date | None = None
    last: date | None = None
    yearly: bool = False
    festival: bool = False
    before: int = 0
    after: int = 0


class Almanac(Record, tag="almanac"):
    """Public holidays of one country, subdivision and year, as derived once; `id` is
    `GB/ENG/2027`. `edition` is the version of the holiday data: another edition is derived anew.
    """

    id: str
    off: tuple[tuple[date, str], ...] = ()
    on: tuple[date, ...] = ()
    provisional: bool = False
    edition: str = ""
