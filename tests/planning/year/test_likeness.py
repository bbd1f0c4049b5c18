"""Which themes are the same, as good as the same, or near. The themes are invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.year.likeness import alike, near, stems

STEMS = [
    ("Baking days", "bak"),
    ("we bake", "bak"),
    ("berries & a berry", "berry"),
    ("the knitting box", "knit"),
    ("spring", "spring"),
    ("St David's Day", "david"),
    ("grass", "grass"),
    ("peaches", "peach"),
    ("A day for the world", ""),
    ("Ärger", "ärger"),
]


@pytest.mark.parametrize(("text", "expected"), STEMS)
def test_stems(text: str, expected: str) -> None:
    assert stems(text) == frozenset(expected.split())


SAME, NEAR, OTHER = "same", "near", "other"
PAIRS = [
    ("Rain & Roots", "rain and roots", SAME),
    ("rain and roots", "Roots and rain", SAME),
    ("rain and roots", "rain and rots", SAME),  # a slip of the pen
    ("lantern walk", "lantern walks", SAME),
    ("rain and roots", "the rain and roots of spring", SAME),  # one within the other
    ("Winter birds", "winter walks", NEAR),
    ("tea", "tea and mending", NEAR),
    ("first frost", "last frost", NEAR),
    ("rain and roots", "birdsong", OTHER),
    ("seed", "sea", OTHER),
    ("bees", "trees", OTHER),
    ("World Bee Day", "World Water Day", OTHER),
    ("mist", "moss", OTHER),
    ("🌧", "🌧", SAME),
    ("🌧", "🌈", OTHER),
]


@pytest.mark.parametrize(("one", "other", "expected"), PAIRS)
def test_pairs(one: str, other: str, expected: str) -> None:
    assert alike(one, other) == alike(other, one) == (expected == SAME)
    assert near(one, other) == near(other, one) == (expected != OTHER)


@given(st.text(max_size=60), st.text(max_size=60))
def test_likeness_holds_both_ways(one: str, other: str) -> None:
    assert alike(one, one)
    assert alike(one, other) == alike(other, one)
    assert near(one, other) == near(other, one)
    assert near(one, other) or not alike(one, other)
