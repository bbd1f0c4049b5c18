"""Ways to tell what subscribers said of an item or a box: scores, praise, comments.

Knows: requests of opinions. Must not know: how a line is matched. Invariants: words without a score
are an opinion only where they name an item or a box; "tea: 4 of 5" is a score only where the tea
has gone out; each example is understood as its row.
"""

from collections.abc import Callable
from decimal import Decimal

from assistant.conversation.month_requests import NoteOpinion
from assistant.conversation.understand.boxes import ID, read_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.past import (
    Thing,
    past_thing,
    scored_thing,
    sent_thing,
)
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.planning.changes import find

_NOTEBOOK = "field notebook for 2027-03"
_ANSWERS = (
    "[,] (from|by|with|over) {answers:count}[ answers| answer| people| subscribers| votes| replies"
    "| responses| scores| reviews| ratings| members]"
)
_WORDS = {
    "<people>": "(subscribers|they|customers|members|people|everyone|everybody|readers|most"
    "|most people|most subscribers|many subscribers|all of them|our subscribers|some|many)",
    "<much>": "[ really| absolutely| all| just| mostly| generally]",
    "<of>": "( of | out of |/| / )",
    "<from>": f"[{_ANSWERS}]",
    "<must-from>": _ANSWERS,
    "<scored>": "(scored|scores|was rated|is rated|rated|averaged|averages|has a score of"
    "|has scored|were rated|got a score of|got an average of)",
    "<a>": "[a |an |about |an average of ]",
    "<got>": "(got|gets|received|had|has|was given|was|were given)",
    "<by>": "[ by subscribers| by everyone| by most| by all| with subscribers| by them]",
}
# What was said of a thing without a number -> the word that is kept of it.
_SAYINGS = (
    ("loved|love|were crazy about|raved about|could not get enough of", "loved"),
    ("liked|like|enjoyed|were happy with|were pleased with|adored", "liked"),
    (
        "hated|disliked|did not like|didn't like|did not love|didn't love|were not keen on"
        "|complained about|were unhappy with",
        "disliked",
    ),
)
_BEEN = (
    ("a hit|a great hit|a big hit|loved|adored|the favourite|a favourite|very popular", "loved"),
    ("liked|popular|well received|well liked|enjoyed", "liked"),
    ("hated|disliked|a flop|unpopular|disappointing|a disappointment|not liked", "disliked"),
)
_WENT = (("down well|over well", "liked"), ("down badly|down poorly|over badly", "disliked"))


def _number(text: str, _c: Context) -> Decimal:
    return Decimal(text.replace(",", "."))


KINDS: dict[str, Kind] = {
    "anyid": Kind(ID, read_box),
    "thing": Kind(r".{1,80}?", past_thing),
    "scoredthing": Kind(r".{1,80}?", scored_thing),
    "sentthing": Kind(r".{1,80}?", sent_thing),
    "score": Kind(r"-?\d{1,4}(?:[.,]\d{1,3})?", _number),
    "most": Kind(r"(?:5|10|20|100)(?: stars| points)?", lambda text, _c: int(text.split()[0])),
    "ofmany": Kind(r"\d{1,3}", lambda text, _c: int(text)),
}


def _row(name: str, says: str, build: Build, gist: str, example: str) -> Phrasing:
    for short, words in _WORDS.items():
        says = says.replace(short, words)
    return Phrasing(name, says, build, gist, example)


# --- what is built --------------------------------------------------------------------------


def _scored(_c: Context, what: Thing, score: Decimal, of: int = 5, answers: int = 0) -> Built:
    box, item = what
    return NoteOpinion(box, item, score, of, answers)


def _exact_item(c: Context, item: str, score: Decimal, of: int, answers: int = 0) -> Built:
    known = find(c.shop.items, item)
    return NoteOpinion(known.box, item, score, of, answers) if known else None


def _exact_box(_c: Context, box: str, score: Decimal, of: int, answers: int = 0) -> Built:
    return NoteOpinion(box, "", score, of, answers)


def _saying(word: str) -> Callable[[Context, Thing], Built]:
    return lambda _c, what: NoteOpinion(what[0], what[1], words=word)


def _in_words(_c: Context, what: Thing, words: str) -> Built:
    return NoteOpinion(what[0], what[1], words=words)


_OPINION = "what subscribers said of {what}"
_LOVED = "subscribers loved the notebook"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "score",
        "{item:exactitem} scored {score:score} of {of:ofmany}"
        "[ from {answers:count} (answer|answers)]",
        _exact_item,
        "a score of {item}",
        f"{_NOTEBOOK} scored 4.6 of 5 from 38 answers",
    ),
    _row(
        "score of a box",
        "{box:anyid} scored {score:score} of {of:ofmany}[ from {answers:count} (answer|answers)]",
        _exact_box,
        "a score of {box}",
        "2027-03 scored 4.1 of 5",
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "score",
        """
        {what:scoredthing} <scored> <a>{score:score}<of>{of:ofmany}[ stars\
| points]<from>
        {what:scoredthing} <scored> <a>{score:score}[ stars| points]<from>
        {what:thing} <got> <a>{score:score}<of>{of:most}<from>
        {what:thing} <got> [a |an ]{score:score}[ stars| points]<must-from>
        {what:thing} <got> [a |an ]{score:score} (stars|points)
        [the ]score (of|for) {what:thing}[ is| was][:] {score:score}<of>{of:ofmany}<from>
        [the ]score (of|for) {what:thing}[ is| was][:] {score:score}<from>
        <people> (gave|rated|scored) {what:thing} [a |an |with ]{score:score}<of>{of:ofmany}<from>
        <people> (gave|rated|scored) {what:thing} [a |an |with ]{score:score}[ stars| points]<from>
        {answers:count} (subscribers|people|members|answers|customers) (gave|rated|scored)\
 {what:thing} [a |an |with ]{score:score}<of>{of:ofmany}
        {what:sentthing}[:] {score:score}<of>{of:most}<from>
        """,
        _scored,
        _OPINION,
        "notebook scored 4.6 from 38 answers",
    ),
    *(
        _row(
            "opinion",
            f"<people><much> ({verbs}) {{what:thing}}[ a lot| best| most| very much| the most]",
            _saying(word),
            _OPINION,
            _LOVED,
        )
        for verbs, word in _SAYINGS
    ),
    *(
        _row("opinion", f"{{what:thing}} (was|were) ({words})<by>", _saying(word), _OPINION, _LOVED)
        for words, word in _BEEN
    ),
    *(
        _row("opinion", f"{{what:thing}} went ({words})<by>", _saying(word), _OPINION, _LOVED)
        for words, word in _WENT
    ),
    _row(
        "opinion in words",
        """
        <people> (said|say|wrote|told us) (of|about) {what:thing}: {words:text}
        (comment|comments|feedback) (on|about|for) {what:thing}: {words:text}
        """,
        _in_words,
        _OPINION,
        "subscribers said of the notebook: lovely paper",
    ),
)
