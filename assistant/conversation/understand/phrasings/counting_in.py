"""Ways to speak of counting in, and claims.

Knows: requests for count-in sheets and claims. Must not know: how a line is matched. Invariants:
what is named after "sheet" is a supplier, a box or an item, in that order; what is said to be made
good by another supplier than the item's own is asked about; each example is understood as its row.
"""

import re
from collections.abc import Callable

from assistant.conversation.month_requests import ClaimMet, CountIn, MakeClaim
from assistant.conversation.replies.plain import box_name, short
from assistant.conversation.sentences import counting_in as says
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_item, supplier_id
from assistant.conversation.understand.order_names import quoted_supplier
from assistant.conversation.understand.reading import Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find

SHORTHAND: dict[str, str] = {
    "<sheet>": "(count-in sheet|count in sheet|counting-in sheet|counting in sheet|count-in list"
    "|check-in sheet|check in sheet|sheet to count in|sheet for counting in)",
    "<print>": "(print|print out|print me|make a page of|page of|pdf of)",
    "<page>": "(as a page|as a pdf|as pdf|to print)",
    "<show>": "[show me |show |send me |give me |make |make me |write |i need |get me ]",
    "<an>": "[the |a |an |our |my ]",
    "<write>": "[write |make |draft |prepare |send me |give me |i need |show me |show |do |file ]"
    "[up |me |out ]",
    "<claim>": "(claim note|claim letter|claim|complaint)",
    "<instead>": "(replacements|a replacement|a credit|a refund|new ones)",
    "<gave>": "(sent|given us|gave us|given me|issued|paid)",
    "<got>": "<i>(got|received|had)",
}

_OF = re.compile(r"'s?$")
_CREDIT = re.compile(r"credit|refund|paid|money", re.IGNORECASE)
_REPLACE = re.compile(r"replace|made good|new ones|resent|re-sent", re.IGNORECASE)


def _whose(text: str, c: Context) -> str | Unclear | None:
    """The id of a supplier of whom something is: "Aldermoor's"."""
    return supplier_id(_OF.sub("", text), c)


# What people say of goods that are not as they should be. Kept out of the patterns, so that these
# words make no thought look like a command.
_BAD = "(?:broken|damaged|bent|bad|faulty|spoilt|cracked|torn|wet|crushed|chipped|scratched)"
_SOME = "(?:the |our |my |some |all the )?"
_WRONG = re.compile(rf"{_SOME}(?:(?:{_BAD}|missing|short|lost)(?: ones of)? )?", re.IGNORECASE)


def _lacking(text: str, c: Context) -> str | Unclear | None:
    """An item, with or without a word before it that says what is wrong with it."""
    return known_item(_WRONG.sub("", text, count=1) if _WRONG.match(text) else text, c)


def _how(text: str, _c: Context) -> str:
    """How a claim was made good, as kept: "credited", "replaced", "" where it was not said."""
    if _CREDIT.search(text):
        return "credited"
    return "replaced" if _REPLACE.search(text) else ""


KINDS: dict[str, Kind] = {
    "countinof": Kind(r'".+?"', quoted_supplier),
    "supplierof": Kind(r"[^:;]{1,60}?'s?", _whose),
    "lackingitem": Kind(r".+?", _lacking),
    "damageditem": Kind(rf"{_SOME}{_BAD} (?:ones of )?.+?", _lacking),
    "madegood": Kind(r"(?:replaced|credited|refunded|made good|resent|re-sent)", _how),
    "metverb": Kind(
        r"(?:replaced|credited|refunded|made good|resent|re-sent|paid|settled|met|closed|accepted"
        r"|sorted|sorted out|dealt with)",
        _how,
    ),
    "metthing": Kind(
        r"(?:replacements?|new ones|a credit|credit|a credit note|credit note|a refund|refund"
        r"|the money|our money|my money)(?: back)?",
        _how,
    ),
}


def _row(
    name: str, pattern: str, build: Callable[..., Built], gist: str, example: str, **more: bool
) -> Phrasing:
    for word, meant in SHORTHAND.items():
        pattern = pattern.replace(word, meant)
    return Phrasing(name, pattern, build, gist, example, **more)


def _item_met(c: Context, supplier: str, item: str, how: str) -> Built:
    """What a supplier made good; it must be the item's own supplier."""
    known = find(c.shop.items, item)
    if known is None or known.supplier == supplier:
        return ClaimMet(item, how)
    theirs = next((one.name for one in c.shop.suppliers if one.id == known.supplier), "nobody yet")
    label = f"{short(known.name, 24)}, {box_name(known.box, c.today)}"
    offers = ((label, says.claim_met(c.shop, item, how or says.HOW[0])),)
    return Unclear(f"{short(known.name, 30)} is from {theirs}", offers, whole=True)


# --- the tables -----------------------------------------------------------------------------

_SHEET, _CLAIM, _MET = "a count-in sheet", "a claim", "a claim made good"


def _sheet(_c: Context, page: bool = False, **of: str) -> Built:
    return CountIn(**of, page=page)


def _page(_c: Context, **of: str) -> Built:
    return CountIn(**of, page=True)


EXACT: tuple[Phrasing, ...] = (
    _row(
        "count in page",
        """
        count in as a page
        count in: {box:id} as a page
        count in: {supplier:countinof} as a page
        count in: {item:exactitem} as a page
        """,
        _page,
        _SHEET,
        "count in: 2027-03 as a page",
        asks=True,
    ),
    _row(
        "count in",
        """
        count in
        count in: {box:id}
        count in: {supplier:countinof}
        count in: {item:exactitem}
        """,
        _sheet,
        _SHEET,
        "count in: 2027-03",
        asks=True,
    ),
    _row(
        "claim note",
        "claim note: {item:exactitem}",
        lambda _c, item: MakeClaim(item),
        _CLAIM,
        "claim note: field notebook for 2027-03",
    ),
    _row(
        "claim note for the damaged",
        "claim note for the damaged: {item:exactitem}",
        lambda _c, item: MakeClaim(item, damaged_only=True),
        _CLAIM,
        "claim note for the damaged: field notebook for 2027-03",
    ),
    _row(
        "claim met",
        "claim {how:metverb}: {item:exactitem}",
        lambda _c, item, how: ClaimMet(item, how),
        _MET,
        "claim credited: field notebook for 2027-03",
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "print the count-in sheet",
        """
        <print> <an><sheet>
        <print> <an><sheet>[ for| of| from] {supplier:supplierid}
        <print> <an><sheet>[ for| of] {box:month}
        <print> <an><sheet> (for|of) {item:item}
        <print> {supplier:supplierof} <sheet>
        <print> <an>{box:month} <sheet>
        <print> <an>{item:knownitem} <sheet>
        <show><an><sheet>[,] <page>
        <show><an><sheet> (for|of|from) {supplier:supplierid}[,] <page>
        <show><an><sheet> (for|of) {box:month}[,] <page>
        <show><an><sheet> (for|of) {item:item}[,] <page>
        """,
        _page,
        _SHEET,
        "print the count-in sheet for March",
        asks=True,
    ),
    _row(
        "count-in sheet",
        """
        <show><an><sheet>
        <show><an><sheet>[ for| of| from] {supplier:supplierid}
        <show><an><sheet>[ for| of] {box:month}
        <show><an><sheet> (for|of) {item:item}
        <show>{supplier:supplierof} <sheet>
        <show><an>{box:month} <sheet>
        <show><an>{item:knownitem} <sheet>
        (count in|counting in|check in|checking in) {supplier:supplierid}
        (count in|counting in|check in|checking in) {box:month}
        (count in|counting in|check in|checking in) {item:knownitem}
        count {item:knownitem} in
        (what is|what's|whats) there to count in
        what (do i|do we|must i|should i) count in
        how do (i|we) (count in|check in|check) {item:knownitem}
        how many {item:knownitem} (do|must|should|shall) (i|we) (look at|check|inspect|test|open)
        how many of {item:knownitem} (do|must|should) (i|we) (look at|check|inspect|test|open)
        what (do|should|must) (i|we) look for (on|in|at|with) {item:knownitem}
        (what to|things to) look for (on|in|at|with) {item:knownitem}
        """,
        _sheet,
        _SHEET,
        "count-in sheet for Aldermoor",
        asks=True,
    ),
    _row(
        "a claim for what is damaged",
        """
        <write><an><claim> (for|about|on|over) {item:damageditem}
        (claim|complain about) {item:damageditem}
        ask for <instead> for {item:damageditem}
        """,
        lambda _c, item: MakeClaim(item, damaged_only=True),
        _CLAIM,
        "claim for the damaged notebooks",
    ),
    _row(
        "a claim",
        """
        <write><an><claim> (for|about|on|over) {item:lackingitem}
        <an>{item:knownitem} <claim>
        claim {item:lackingitem}
        complain about {item:lackingitem}
        ask for <instead> for {item:lackingitem}
        """,
        lambda _c, item: MakeClaim(item),
        _CLAIM,
        "claim for the notebook",
    ),
    _row(
        "a claim on a supplier",
        """
        <write><an><claim> (to|on|from|against|for|with) {supplier:supplierid}
        <write>{supplier:supplierof} <claim>
        complain to {supplier:supplierid}
        claim[ it] from {supplier:supplierid}
        """,
        lambda _c, supplier: MakeClaim(supplier=supplier),
        _CLAIM,
        "claim note to Aldermoor",
    ),
    _row(
        "a claim made good by a supplier",
        """
        {supplier:supplierid}<has> {how:madegood} {item:lackingitem}
        {supplier:supplierid}<has> <gave> {how:metthing} for {item:lackingitem}
        """,
        _item_met,
        _MET,
        "Aldermoor replaced the notebook",
    ),
    _row(
        "a claim made good",
        """
        <an><claim> (for|on|about|over) {item:lackingitem}<has> {how:metverb}
        <an>{item:knownitem} <claim><has> {how:metverb}
        (they|the supplier)<has> {how:madegood} {item:lackingitem}
        (they|the supplier)<has> <gave> {how:metthing} for {item:lackingitem}
        {item:knownitem}<has> {how:madegood} by (them|the supplier)
        <got> {how:metthing} for {item:lackingitem}
        """,
        lambda _c, item, how: ClaimMet(item, how),
        _MET,
        "claim for the notebook credited",
    ),
    _row(
        "the claim on a supplier made good",
        """
        {supplier:supplierid}<has> {how:metverb} (the|our|my) claim
        <an><claim> (to|on|from|against|with) {supplier:supplierid}<has> {how:metverb}
        {supplier:supplierof} <claim><has> {how:metverb}
        """,
        lambda _c, supplier, how: ClaimMet(how=how, supplier=supplier),
        _MET,
        "Aldermoor settled the claim",
    ),
)

HALVES: tuple[Phrasing, ...] = ()
