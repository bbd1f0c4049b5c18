"""Goods that plainly carry duties. The words and kinds: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.cautions import KINDS, kinds


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("clip-on lamp with a lithium cell", ("lithium cells and batteries",)),
        ("AAA batteries", ("lithium cells and batteries",)),
        ("Oat Biscuits", ("food: allergens and best-before dates",)),
        ("beeswax balm", ("cosmetics",)),
        ("seed packet", ("seeds and plants, across borders above all",)),
        ("box of matches", ("candles and flames",)),
        ("whittling knives", ("knives and blades",)),
        ("field notebook", ()),
        ("lampshade print", ()),
        ("matching pencils", ()),
        ("", ()),
    ],
)
def test_whole_words_count_in_the_singular_and_the_plural(
    name: str, found: tuple[str, ...]
) -> None:
    assert kinds(name) == found


def test_a_type_counts_like_a_name_and_each_kind_once() -> None:
    assert kinds("Rooibos", "tea") == kinds("tea", "honey biscuits")
    assert len(kinds("tea", "honey biscuits")) == 1


@given(st.lists(st.text(max_size=40), max_size=3))
def test_any_text_has_only_kinds_of_the_table(names: list[str]) -> None:
    assert set(kinds(*names)) <= {kind for kind, _ in KINDS}
