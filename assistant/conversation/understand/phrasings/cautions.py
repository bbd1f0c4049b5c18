"""Ways to speak of goods that carry duties: what is in an item, what there is to check.

Knows: requests about goods. Must not know: how a line is matched, which words name which goods
(month/goods). Invariants: words are about goods only where every one of them stands in the table
of goods; what can be two kinds of goods is the kind that was asked about, else that which comes
first; whether something may be sent is answered by what to check, never by yes or no.
"""

import re
from functools import lru_cache

from assistant.conversation.month_requests import AnswerCaution, ShowCautions
from assistant.conversation.sentences import cautions as says
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_item
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import slip
from assistant.planning.changes import find
from assistant.planning.month.cautions import kinds, questions
from assistant.planning.month.goods import spoken
from assistant.planning.records import CautionRule

Goods = tuple[str, ...]

_WORDS = {
    "<has>": "(has|have|has got|contains|contain|holds|comes with|come with|runs on|run on|uses)",
    "<had>": "(have|contain|hold|come with|run on|use)",
    "<not>": "(does not|doesn't|doesnt|do not|don't|dont)",
    "<isnt>": "(is not|isn't|isnt|are not|aren't|arent)",
    "<any>": "[a |an |any |some |the ]",
    "<in-it>": "[ in it| inside| in them| in there]",
    "<me>": "[ i| we][ must| need to| have to| should| to][ i| we]",
    "<verb>": "(check|look out for|look into|mind|watch out for|be careful of|be careful with)",
    "<of>": "(for|about|with|of|on|before ordering|before i order|before packing|before i pack)",
    "<send>": "(send|post|ship|sell|order|pack|put in|import|mail)",
}


# --- slots ----------------------------------------------------------------------------------


def _goods(text: str, c: Context) -> Goods | None:
    """The kinds of goods that words can only mean, slips of the finger put right."""
    rules, words = c.shop.house.cautions, c.shop.house.goods_words
    if found := spoken(text, rules, words):
        return found
    said = re.sub(r"[a-z]{5,}", lambda word: _put_right(word[0], rules), text.casefold())
    return (spoken(said, rules, words) or None) if said != text.casefold() else None


def _put_right(word: str, rules: tuple[CautionRule, ...]) -> str:
    """The word of the table that a word can only be a slip of, else the word itself."""
    near = {one for one in _vocabulary(rules) if one[0] == word[0] and slip(word, one) == "sure"}
    return near.pop() if len(near) == 1 else word


@lru_cache(4)
def _vocabulary(rules: tuple[CautionRule, ...]) -> frozenset[str]:
    phrases = (phrase for rule in rules for phrase in (*rule.words, *rule.maybe))
    return frozenset(word for phrase in phrases for word in phrase.split() if len(word) > 4)


def _exact_goods(text: str, c: Context) -> Goods | None:
    """The kind of goods that a button's sentence names."""
    known = any(rule.goods == text for rule in c.shop.house.cautions)
    return (text,) if known else None


# --- what is in an item ---------------------------------------------------------------------


def _exactly(so: bool) -> Build:
    return lambda _c, goods, item: AnswerCaution(item, goods[0], so)


def _answer(so: bool) -> Build:
    """An answer about an item that is named in her own words."""

    def build(c: Context, what: str, goods: Goods) -> Built:
        item = known_item(what, c)
        if isinstance(item, Unclear):
            offers = tuple((label, _said(goods[0], name, so)) for label, name in item.offers)
            return Unclear(item.why, offers, whole=True)
        return AnswerCaution(item, _which(c, item, goods), so) if item else None

    return build


def _for_children(so: bool) -> Build:
    made = _answer(so)

    def build(c: Context, what: str) -> Built:
        goods = _goods("children", c)
        return made(c, what, goods) if goods else None

    return build


def _said(goods: str, name: str, so: bool) -> str:
    return f"{says.YES if so else says.NO}{goods}: {name}"


def _which(c: Context, id: str, goods: Goods) -> str:
    """Of several kinds of goods the one that is asked about, else one that the item may be of."""
    item = find(c.shop.items, id)
    asked = [one.goods for one in questions(c.shop, item)] if item else []
    known = kinds(c.shop, item) if item else ()
    return next((one for one in (*asked, *known) if one in goods), goods[0])


# --- what to check --------------------------------------------------------------------------


def _of_item(_c: Context, item: str) -> Built:
    return ShowCautions(item=item)


def _of_box(_c: Context, box: str = "") -> Built:
    return ShowCautions(box=box)


def _row(
    name: str, pattern: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, words in _WORDS.items():
        pattern = pattern.replace(short, words)
    return Phrasing(name, pattern, build, gist, example, asks=asks)


KINDS: dict[str, Kind] = {
    "saidgoods": Kind(r"[a-z' -]{2,60}?", _goods),
    "exactgoods": Kind(r"[^:;]{2,80}?", _exact_goods),
}

_IS = "what an item is made of"
_CHECK = "what there is to check"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "is of such goods",
        """
        yes to {goods:exactgoods}: {item:exactitem}
        yes to {goods:exactgoods}: {item:item}
        """,
        _exactly(True),
        _IS,
        "the notebook has a battery",
    ),
    _row(
        "is of no such goods",
        """
        no to {goods:exactgoods}: {item:exactitem}
        no to {goods:exactgoods}: {item:item}
        """,
        _exactly(False),
        _IS,
        "no battery in the notebook",
    ),
    _row(
        "cautions of an item",
        "what to check for {item:exactitem}",
        _of_item,
        _CHECK,
        "what must I check for the tea",
        asks=True,
    ),
    _row(
        "cautions of a box",
        "cautions for {box:id}",
        _of_box,
        _CHECK,
        "cautions for June",
        asks=True,
    ),
)

_ANSWERS = (
    _row(
        "is of no such goods",
        """
        [there is |there are |there's |theres ]no {goods:saidgoods} in {what:words}
        there (is not|isn't|isnt|are not|aren't) <any>{goods:saidgoods} in {what:words}
        {what:words} (has|have|contains|contain|holds) no {goods:saidgoods}<in-it>
        {what:words} <not> <had> <any>{goods:saidgoods}<in-it>
        {what:words} <isnt> <any>{goods:saidgoods}
        {what:words} (is|are|comes|come) without <any>{goods:saidgoods}
        {what:words} (has|have) not got <any>{goods:saidgoods}<in-it>
        """,
        _answer(False),
        _IS,
        "no battery in the notebook",
    ),
    _row(
        "is of such goods",
        """
        there (is|are) <any>{goods:saidgoods} in {what:words}
        (there's|theres) <any>{goods:saidgoods} in {what:words}
        {what:words} <has> <any>{goods:saidgoods}<in-it>
        {what:words} (is made of|are made of|is made with|are made with|is|are) <any>\
{goods:saidgoods}
        """,
        _answer(True),
        _IS,
        "the notebook has a battery",
    ),
    _row(
        "is not for children",
        "{what:words} <isnt>[ meant| made] for (children|kids|small children)",
        _for_children(False),
        _IS,
        "the notebook is not for children",
    ),
    _row(
        "is for children",
        "{what:words} (is|are)[ meant| made] for (children|kids|small children)",
        _for_children(True),
        _IS,
        "the notebook is for children",
    ),
)

_SHOWS = (
    _row(
        "cautions of a box",
        """
        [show |show me |list ][the |any |all |my |our ](cautions|caution) (for|in|of|about)\
 {box:anymonth}
        {box:anymonth} cautions
        [what|what do|which things]<me> <verb> <of> {box:anymonth}
        what (is|are) there to <verb> <of> {box:anymonth}
        """,
        _of_box,
        _CHECK,
        "cautions for June",
        asks=True,
    ),
    _row(
        "cautions of an item",
        """
        [show |show me |list ][the |any |all |my |our ](cautions|caution) (for|of|about)\
 {item:knownitem}
        [what|what do|which things]<me> <verb> <of> {item:knownitem}
        what (is|are) there to <verb> <of> {item:knownitem}
        what about the (rules|law|duties|cautions) (for|of|on) {item:knownitem}
        (may|can|could|should) (i|we) <send> {item:knownitem}
        (am i|are we) allowed to <send> {item:knownitem}
        is it (ok|okay|fine|legal|safe|allowed) to <send> {item:knownitem}
        """,
        _of_item,
        _CHECK,
        "what must I check for the tea",
        asks=True,
    ),
    _row(
        "cautions",
        """
        [show |list |show me |give me ][the |any |all |my |our |all the |all my ](cautions|warnings)
        (what|which) (cautions|warnings) (are there|do i have|have i)
        what<me> (check|look out for|be careful with|be careful of|watch out for|mind)
        [which |what ](dangerous|hazardous|risky) goods[ do i have| are there| have i| are planned]
        anything (dangerous|hazardous|risky)[ in the plan]
        """,
        _of_box,
        _CHECK,
        "cautions",
        asks=True,
    ),
)

TABLE: tuple[Phrasing, ...] = (*_ANSWERS, *_SHOWS)
HALVES: tuple[Phrasing, ...] = ()
