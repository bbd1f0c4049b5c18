"""Ways to say what the shop is: its numbers, calendar, stages, mornings.

Knows: requests of the shop. Must not know: how a line is matched. Invariant: a length of a stage is
in working days of the shop and names a stage of the house.
"""

from datetime import time

from assistant.conversation.requests import ChangeMornings, ChangeShop
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Phrasing
from assistant.conversation.understand.tasks import stage_named
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import profile_of


def _price(c: Context, price: Price) -> Built:
    counted = profile_of(c.shop).currency
    if price.currency not in ("", counted):
        return Unclear(
            f"the shop counts in {counted}; if that changed, say: currency {price.currency}"
        )
    return ChangeShop(price=price.amount)


def _target(c: Context, target: Price) -> Built:
    counted = profile_of(c.shop).currency
    if target.currency not in ("", counted):
        return Unclear(f"the shop counts in {counted}; say the target in {counted}")
    return ChangeShop(target=target.amount)


def _in(_c: Context, country: str) -> Built:
    code, _, part = country.partition("/")
    return ChangeShop(country=code, subdivision=part)


def _length(c: Context, stage: str, days: int) -> Built:
    name = stage_named(stage)
    known = [rule.name for rule in c.shop.house.stages]
    if not name:
        return None
    if name not in known:
        return Unclear(f'"{stage}" is no stage of the plan')
    return ChangeShop(lengths=((name, days),))


def _packing(_c: Context, days: int) -> Built:
    return ChangeShop(lengths=(("pack", days),))


def _mornings(_c: Context, at: time) -> Built:
    return ChangeMornings(digest_at=at)


def _row(name: str, pattern: str, build: Build, gist: str, example: str) -> Phrasing:
    return Phrasing(name, pattern, build, gist, example)


_LENGTH = "a length for {stage}"
_NIGHTS = "what you want at weekends"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "name",
        """
        [the |our ](shop|shop's name|business) is (called|named) {name:text}
        (we are called|our name is|we call ourselves) {name:text}
        """,
        lambda _c, name: ChangeShop(name=name[:80]),
        "a name of the shop",
        "the shop is called Mossgate Field Club",
    ),
    _row(
        "price",
        """
        (the box|a box|the price|box price) (is|costs|is now|will be) {price:money}
        (price of the box|price of a box) (is|costs|is now|will be) {price:money}
        (our box|box|the price of the box) (is|costs|is now|will be) {price:money}
        (box price|price)[:] {price:money}
        """,
        _price,
        "a price of the box",
        "the box is 32",
    ),
    _row(
        "items a box",
        """
        {n:count} (items|things|products) (a|per|in a|in each|in every|each|to a|in the) box
        (items|things) (a|per|in a|in each) box[ is| are][:| =] {n:count}
        (a|each|every|the) box (has|holds|gets|needs|should have|wants) {n:count} (items|things)
        (we|i) (put|want|pack) {n:count} (items|things) (in|into) (a|each|every|the) box
        """,
        lambda _c, n: ChangeShop(items_a_box=n),
        "a number of items a box",
        "6 items a box",
    ),
    _row(
        "target",
        """
        [our |the ](target cost|cost target|target)[ is| of][:| =] {target:money} (a|per|each) box
        [our |the ](target cost|cost target|target)[ is| of][:| =] {target:money}
        [our |the ](items budget|item budget|budget)[ is| of][:| =] {target:money} (a|per|each) box
        [our |the ](target cost|target|budget) (a|per|of a) box[ is][:| =] {target:money}
        [the ]items (may|can|should|must) cost[ at most| up to] {target:money} (a|per|each) box
        [the ]items (may|can|should|must) cost[ at most| up to| no more than] {target:money}
        [the ]items cost (at most|no more than|up to) {target:money}[ a box| per box| each box]
        (at most|no more than) {target:money} (a|per|for a|for each) box[ for items]
        (spend|we spend|we can spend)[ at most| up to] {target:money} (a|per|on each|on a) box
        target cost[ is][:| =] {target:money}
        """,
        _target,
        "what the items of a box may cost",
        "items may cost 14 a box",
    ),
    _row(
        "mailer",
        """
        [our |the ](mailer|mailing box|postal box)[ size][ is| measures][:| =] {mm:mailer}[ inside]
        [our |the ](shipping box|carton)[ size][ is| measures][:| =] {mm:mailer}[ inside]
        """,
        lambda _c, mm: ChangeShop(mailer_mm=mm),
        "a size of the mailer",
        "mailer 300 x 220 x 80 mm",
    ),
    _row(
        "load",
        """
        [our |the |a ](mailer|mailing box|postal box) (holds|takes|carries)[ up to] {grams:load}
        [our |the |a ](mailer|mailing box|postal box) can (hold|take|carry)[ up to] {grams:load}
        [our |the ]mailer (weight|weight limit|limit|max|maximum)[ is][:| =] {grams:load}
        (a box|the box|each box|the contents) (may|can|must) weigh[ at most| up to] {grams:load}
        """,
        lambda _c, grams: ChangeShop(mailer_grams=grams),
        "what the mailer holds",
        "mailer holds 2 kg",
    ),
    _row(
        "pace",
        """
        (we pack|i pack|pack)[ is][:] {n:number}[ boxes] (an hour|per hour|each hour|a hour)
        (packing pace|pace)[ is][:] {n:number}[ boxes] (an hour|per hour|each hour|a hour)
        (we pack|i pack|pack|packing pace|pace)[ is][:] {n:number}[ boxes] (an hr|/h|/hour)
        """,
        lambda _c, n: ChangeShop(boxes_per_hour=n),
        "a packing pace",
        "we pack 40 an hour",
    ),
    _row(
        "crew",
        """
        {n:count} (people|person|of us|packers|hands) (pack|packs|packing|on packing|are packing)
        """,
        lambda _c, n: ChangeShop(crew=n),
        "a number of packers",
        "2 people pack",
    ),
    _row(
        "hours",
        """
        (we pack|we pack for|i pack|i pack for|packing) {n:number} hours (a day|per day|each day)
        """,
        lambda _c, n: ChangeShop(hours_per_day=n),
        "packing hours",
        "we pack 6 hours a day",
    ),
    _row(
        "packing",
        """
        packing[ takes| is| needs][:] {days:length}
        we pack for {days:length}
        """,
        _packing,
        "a length for packing",
        "packing takes 3 days",
    ),
    _row(
        "length",
        """
        [the ]{stage:words} (takes|needs|is) {days:length}[ before<before>| ahead| before]
        [the ]{stage:words} {days:length} (before<before>|ahead|before)
        packing {stage:words} {days:length}
        {stage:words} {days:length}
        """,
        _length,
        _LENGTH,
        "sourcing takes 15 days",
    ),
    _row(
        "currency",
        """
        [our |the ](currency|money)[ is][:][ in] {currency:currency}
        (we|i) (sell|count|charge|price|reckon) in {currency:currency}
        [our |the |all ]prices are in {currency:currency}
        """,
        lambda _c, currency: ChangeShop(currency=currency),
        "a currency",
        "currency EUR",
    ),
    _row(
        "zone",
        """
        (time zone|timezone|our time zone)[ is][:] {zone:zone}
        """,
        lambda _c, zone: ChangeShop(zone=zone),
        "a time zone",
        "time zone Europe/Berlin",
    ),
    _row(
        "my zone",
        """
        my time zone[ is][:] {zone:zone}
        """,
        lambda _c, zone: ChangeMornings(zone=zone),
        "your time zone",
        "my time zone Europe/Berlin",
    ),
    _row(
        "country",
        """
        (we are|we're|the shop is|our shop is|we live|we are based) in {country:country}
        """,
        _in,
        "where the shop is",
        "we are in Scotland",
    ),
    _row(
        "week",
        """
        (we|the shop|i) (work|works|are open|is open) [on ]{week:week}
        our [working ]week[ is][:] {week:week}
        """,
        lambda _c, week: ChangeShop(week=week),
        "a working week of the shop",
        "we work Mon-Sat",
    ),
    _row(
        "mornings",
        """
        [my |the ](morning|mornings|digest)[ is| come| comes][ at][:] {at:clock}
        [my |the ](nudges|nudge me|morning message)[ is| come| comes][ at][:] {at:clock}
        [send me |give me ][my |the ]nudges at {at:clock}
        """,
        _mornings,
        "a time for your mornings",
        "morning at 7:30",
    ),
    _row(
        "weekends",
        """
        (no nudges|no nudge|nothing|no messages|no mornings) (at|on) [the ](weekends|weekend)
        """,
        lambda _c: ChangeMornings(weekends=False),
        _NIGHTS,
        "no nudges at weekends",
    ),
    _row(
        "weekends",
        """
        (nudges|nudge me|mornings|messages) (at|on) [the ](weekends|weekend)[ too| as well]
        """,
        lambda _c: ChangeMornings(weekends=True),
        _NIGHTS,
        "nudges at weekends too",
    ),
)
HALVES: tuple[Phrasing, ...] = ()
