"""Measuring and shortening, against FreeType's measuring of the same typeface (by Pillow)."""

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from assistant.sheets.lettering import (
    CUT,
    FACES,
    MISSING,
    Weight,
    broken,
    font_file,
    lacks,
    printable,
    shorten,
    width,
)

WEIGHTS = st.sampled_from(sorted(FACES))
ROOMS = st.floats(0, 2000)
TEXTS = st.text(max_size=320)


@cache
def font(weight: Weight) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(font_file(weight), 1000, layout_engine=ImageFont.Layout.BASIC)


@pytest.mark.parametrize("weight", sorted(FACES))
def test_widths_are_those_of_the_font(weight: Weight) -> None:
    for one in "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 £€.,'?…×äßЖΩ":
        assert width(one, 1000, weight) == pytest.approx(font(weight).getlength(one), abs=1.5)


@given(TEXTS, st.floats(6, 100), WEIGHTS, ROOMS)
def test_a_shortened_text_fits(text: str, size: float, weight: Weight, room: float) -> None:
    short = shorten(text, size, weight, room)
    assert width(short, size, weight) <= room + 1e-6
    if short != printable(text):
        assert short == "" or short.endswith(CUT)
        assert printable(text).startswith(short.removesuffix(CUT))


@given(TEXTS, st.floats(6, 100), WEIGHTS, ROOMS, st.integers(1, 4))
def test_broken_lines_fit(text: str, size: float, weight: Weight, room: float, most: int) -> None:
    lines = broken(text, size, weight, room, most)
    assert len(lines) <= most
    assert all(width(line, size, weight) <= room + 1e-6 for line in lines)


@given(st.lists(st.text("abc", min_size=1, max_size=8), min_size=1, max_size=12))
def test_nothing_is_lost_where_there_is_room(words: list[str]) -> None:
    text = " ".join(words)
    assert " ".join(broken(text, 20, "regular", 200, 20)) == text
    assert shorten(text, 20, "regular", 5000) == text


@given(TEXTS)
def test_only_characters_of_the_typeface_are_drawn(text: str) -> None:
    face = font("regular")
    empty = bytes(face.getmask("\U0010ffff"))
    for one in printable(text):
        assert one == " " or bytes(face.getmask(one)) != empty or one in "\u00ad"


@pytest.mark.parametrize(
    ("text", "drawn"),
    [
        ("桜の季節", "?"),
        ("桜 の rain", "? ? rain"),
        ("rain 🌧️🌧", "rain ?"),
        ("really?桜", "really??"),
        ("Дождь, Ωμέγα, Čaj, e\u0301t\u00e9", "Дождь, Ωμέγα, Čaj, été"),
        ("a\u200bb\x07c\u202ed", "abcd"),
        ("  two\n lines ", "two lines"),
    ],
)
def test_what_the_typeface_lacks_is_a_question_mark(text: str, drawn: str) -> None:
    assert printable(text) == drawn
    assert lacks(text) == (drawn.count(MISSING) > text.count(MISSING))
