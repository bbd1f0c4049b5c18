"""What goods a name tells of. The words and kinds: common practice, no source; names invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.month.goods import Told, spoken, told
from assistant.planning.records import CautionRule
from tests.trade import house

RULES, WORDS = house().cautions, house().goods_words
KINDS = {rule.goods for rule in RULES}
CELLS, FOOD, SKIN = "lithium cells and batteries", "food and drink", "cosmetics"
CANDLES, SEEDS, KNIVES = "candles and incense", "seeds and plants", "knives and blades"
FLAMES, DRINK, GLASS = "flammable goods", "perfume and alcohol", "liquids and glass"
MELTS, TOYS = "goods that melt", "children's goods"


def read(name: str, type: str = "") -> Told:
    return told(name, type, RULES, WORDS)


def plural(word: str) -> str:
    """The plural of an English noun by the rules of a school book, written here anew."""
    if word.endswith("fe"):
        return f"{word[:-2]}ves"
    if word.endswith("y") and word[-2] not in "aeiou":
        return f"{word[:-1]}ies"
    return f"{word}es" if word.endswith(("s", "x", "ch", "sh")) else f"{word}s"


EVERY = [(rule, word) for rule in RULES for word in rule.words]
SINGULAR = [(rule, word) for rule, word in EVERY if not word.endswith("s") or word[-2:] == "ss"]


@pytest.mark.parametrize(("rule", "word"), EVERY, ids=lambda x: x if isinstance(x, str) else "")
def test_every_word_of_the_table_is_found(rule: CautionRule, word: str) -> None:
    assert rule.goods in read(word).plain
    assert rule.goods in read(f"A {word.upper()} from Tannwald").plain


@pytest.mark.parametrize(("rule", "word"), SINGULAR, ids=lambda x: x if isinstance(x, str) else "")
def test_every_word_is_found_in_the_plural(rule: CautionRule, word: str) -> None:
    assert rule.goods in read(f"six {plural(word)}").plain


MAYBE = [(rule, word) for rule in RULES for word in rule.maybe]


@pytest.mark.parametrize(("rule", "word"), MAYBE, ids=lambda x: x if isinstance(x, str) else "")
def test_of_a_word_that_may_be_such_goods_it_is_asked(rule: CautionRule, word: str) -> None:
    found = read(word)
    assert rule.goods in found.perhaps
    assert rule.goods not in found.plain


@pytest.mark.parametrize(
    ("name", "plain", "perhaps"),
    [
        # whole words, in the singular and the plural
        ("AAA batteries", {CELLS}, ()),
        ("whittling knives", {KNIVES}, ()),
        ("box of matches", {FLAMES}, ()),
        ("matching pencils", (), ()),
        ("colour match cards", (), ()),
        ("balmy days notebook", (), ()),
        ("lampshade print", (), ()),
        ("ginger biscuits", {FOOD}, ()),
        ("planter", (), ()),
        ("seasonal ribbon", (), ()),
        ("", (), ()),
        # the longest phrase
        ("tea lights", {CANDLES, MELTS}, ()),
        ("hot chocolate", {FOOD}, ()),
        ("light bulb", {GLASS}, ()),
        ("oil pastels", (), ()),
        ("sweet pea seeds", {SEEDS}, ()),
        ("seed beads", (), ()),
        # what only shows goods
        ("seed head print", (), ()),
        ("spray paint print", (), ()),
        ("lantern enamel pin", (), ()),
        ("print of moss and seeds", (), ()),
        ("guide to bulbs", (), ()),
        ("recipe cards", (), ()),
        ("seed paper notebook", (), {SEEDS}),
        ("print with a seed packet", {SEEDS}, ()),
        # what is made for goods
        ("candle holder", (), {CANDLES}),
        ("tea caddy", (), {FOOD}),
        ("mug for tea", (), {FOOD}),
        ("honey dipper", (), {FOOD}),
        ("tin of biscuits", {FOOD}, ()),
        # what is one thing first
        ("honey soap", {SKIN}, {FOOD, MELTS}),
        ("beeswax balm", {SKIN, MELTS}, ()),
        ("chocolate bar", {FOOD, MELTS}, ()),
        ("oat biscuits", {FOOD}, ()),
        ("lithium lamp", {CELLS}, ()),
        # part by part
        ("clip-on lamp", (), {CELLS}),
        ("clip-on lamp with a lithium cell", {CELLS}, ()),
        ("lamp without battery", (), {CELLS}),
        ("notebook and seeds", {SEEDS}, ()),
        ("non-alcohol cordial", (), {DRINK, FOOD, GLASS}),
        ("alcohol-free tonic", (), {DRINK, GLASS, "medicines and supplements"}),
        ("tea in a glass jar", {FOOD, GLASS}, ()),
        ("children's tea set", {FOOD}, {TOYS}),
        ("Cr\u00e8me br\u00fbl\u00e9e TEA", {FOOD}, ()),
    ],
)
def test_names(name: str, plain: set[str], perhaps: set[str]) -> None:
    found = read(name)
    assert (set(found.plain), set(found.perhaps)) == (set(plain), set(perhaps))


def test_a_type_counts_like_a_name() -> None:
    assert read("Rooibos", "tea").plain == {FOOD}
    assert read("Rooibos tea", "tea") == read("Rooibos tea")
    assert read("autumn seed head", "art print") == Told()
    assert read("tea caddy", "tea").perhaps == frozenset()


@pytest.mark.parametrize(
    ("words", "kinds"),
    [
        ("a lithium cell", (CELLS,)),
        ("a rechargeable battery", (CELLS,)),
        ("lithium cells and batteries", (CELLS,)),
        ("any nuts", (FOOD,)),
        ("for children", (TOYS,)),
        ("chocolate", (FOOD, MELTS)),
        ("ready", ()),
        ("in the glass house", ()),
        ("the main item", ()),
        ("honey coloured", ()),
        ("", ()),
    ],
)
def test_what_words_of_an_answer_mean(words: str, kinds: tuple[str, ...]) -> None:
    assert spoken(words, RULES, WORDS) == kinds


@given(st.text(max_size=60), st.text(max_size=20))
def test_any_text_has_only_kinds_of_the_table_and_none_twice(name: str, type: str) -> None:
    found = read(name, type)
    assert found.plain | found.perhaps <= KINDS
    assert found.plain.isdisjoint(found.perhaps)
    assert set(spoken(name, RULES, WORDS)) <= KINDS


WORD = st.sampled_from(sorted({word for _, word in EVERY + MAYBE} | {"of", "with", "no", "print"}))


@given(st.lists(WORD, min_size=1, max_size=5).map(" ".join))
def test_names_of_the_tables_own_words_never_fail(name: str) -> None:
    found = read(name)
    assert found.plain | found.perhaps <= KINDS


@given(WORD, st.sampled_from(("print", "postcard", "enamel pin", "notebook")))
def test_what_shows_goods_is_none(word: str, shows: str) -> None:
    assert not read(f"{word} {shows}").plain
