"""Weights and sizes as people write them.

The factors: International Yard and Pound Agreement, 1959 (1 in = 25.4 mm, 1 lb = 453.59237 g).
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.year.measures import SIZE, WEIGHT, Size, read_grams, read_side, read_size


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("180 g", 180),
        ("180g", 180),
        ("0.5 kg", 500),
        ("1,5 kg", 1500),
        ("1,200 g", 1200),
        ("1 lb", 454),  # 453.59, rounded up
        ("16 oz", 454),
        ("1 lb 4 oz", 567),  # 566.99
        ("2 pounds", 908),
        ("1.5oz", 43),  # 42.52
        ("180", None),
        ("0 g", None),
        ("200 kg", None),
        ("-3 g", None),
        ("a few grams", None),
        ("", None),
    ],
)
def test_weights(text: str, grams: int | None) -> None:
    assert read_grams(text) == grams


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("210 x 148 x 12 mm", (210, 148, 12)),
        ("21x14.8x1.2cm", (210, 148, 12)),
        ("300\u00d7220\u00d780mm", (300, 220, 80)),
        ("210 by 148 by 12 mm", (210, 148, 12)),
        ("8 in x 6 in x 1 in", (204, 153, 26)),  # 203.2, 152.4, 25.4
        ('8" x 6" x 1"', (204, 153, 26)),
        ("21 cm x 148 mm x 12 mm", (210, 148, 12)),
        ("21 (L) x 14 (W) x 1 (H) cm", (210, 140, 10)),
        ("210 x 148 mm", None),
        ("210 x 148 x 12", None),
        ("210 x 0 x 12 mm", None),
        ("9000 x 1 x 1 mm", None),
        ("A5", None),
        ("", None),
    ],
)
def test_sizes(text: str, size: Size | None) -> None:
    assert read_size(text) == size


def test_a_heading_names_the_unit_of_bare_numbers() -> None:
    assert read_grams("0.18", "kg") == 180
    assert read_size("21 x 14.8 x 1.2", "cm") == (210, 148, 12)
    assert read_side("9", "cm") == 90
    assert read_grams("180", "cm") is None


def test_what_holds_is_rounded_down_and_what_is_held_up() -> None:
    assert (read_grams("1 oz"), read_grams("1 oz", down=True)) == (29, 28)
    assert read_size("1 x 1 x 1 in", down=True) == (25, 25, 25)


@given(st.integers(1, 5000), st.integers(1, 5000), st.integers(1, 5000))
def test_a_size_written_is_read_back(length: int, width: int, height: int) -> None:
    text = f"{length} x {width} x {height} mm"
    assert read_size(text) == (length, width, height)
    assert re.fullmatch(SIZE, text)
    for factor, unit in ((10, "cm"), (1000, "m")):
        told = " x ".join(f"{side / factor:.4f}" for side in (length, width, height))
        assert read_size(f"{told} {unit}") == (length, width, height)


@given(st.integers(1, 100_000))
def test_a_weight_written_is_read_back(grams: int) -> None:
    assert read_grams(f"{grams} g") == grams
    assert re.fullmatch(WEIGHT, f"{grams} g")
    assert read_grams(f"{grams / 1000:.3f} kg") == grams


@given(st.text(max_size=40))
def test_no_text_raises(text: str) -> None:
    read_grams(text, "g")
    read_size(text, "mm")
    read_side(text, "cm")
