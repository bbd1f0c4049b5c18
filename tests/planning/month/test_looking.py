"""What to look for on goods that come: which kind a name is of. Goods are invented; the expected
kinds were written by hand before the table (common practice, no source)."""

from itertools import combinations

import pytest

from assistant.planning.model import Item
from assistant.planning.month.looking import ANYTHING, LOOKS, look


def kind(name: str, **facts: str) -> str:
    return look(Item("i", "2027-03", name, **facts)).goods


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("field notebook", "paper goods"),
        ("Field Notebooks", "paper goods"),
        ("seed head print", "paper goods"),
        ("enamel pin", "pins and metal"),
        ("tin mug", "pins and metal"),
        ("mug", "glass and ceramic"),
        ("wooden spoons", "wood"),
        ("linen bag", "textiles"),
        ("brush roll in linen", "drawing and writing tools"),
        ("oat biscuits", "food and drink"),
        ("mint tea", "food and drink"),
        ("honey soap", "cosmetics"),
        ("beeswax candle", "candles and wax"),
        ("clip-on lamp with a lithium cell", "electronics"),
        ("seed packet", "seeds and plants"),
        ("drawing pencil", "drawing and writing tools"),
        ("watercolour brushes", "drawing and writing tools"),
        ("batteries", "electronics"),
        ("hazel whistle", ANYTHING.goods),
        ("", ANYTHING.goods),
        ("\u9727\u306e\u624b\u5e33", ANYTHING.goods),
    ],
)
def test_a_name_is_of_the_kind_that_its_last_known_word_says(name: str, expected: str) -> None:
    assert kind(name) == expected


def test_form_and_type_help_where_the_name_does_not() -> None:
    assert kind("Bracken", form="enamel pin") == "pins and metal"
    assert kind("Bracken", type="tea") == "food and drink"
    assert kind("Bracken notebook", type="tea") == "paper goods"


def test_no_word_names_two_kinds_and_every_kind_says_what_to_look_for() -> None:
    for one, other in combinations(LOOKS, 2):
        assert not set(one.words.split()) & set(other.words.split())
    assert all(2 <= len(one.faults) <= 4 for one in (*LOOKS, ANYTHING))
