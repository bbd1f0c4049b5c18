"""Lengths, cuts and buttons as Telegram wants them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.messages import Button, Reply
from assistant.edges.telegram.saying import (
    CAPTION,
    DATA_BYTES,
    LABEL,
    PHOTO_BYTES,
    TEXT,
    TITLE,
    compose,
    data_of,
    to_keep,
)
from assistant.edges.telegram.texts import clean, head, shorten, split, units

ANYTHING = st.text(st.characters())  # half surrogate pairs too
WRITTEN = st.text(st.sampled_from("ab é\n<&>🌿👩‍🌾 \U0001f331"))


@pytest.mark.parametrize(
    ("text", "length"),
    [
        # Source: Bot API, "MessageEntity": offset and length in UTF-16 code units.
        ("", 0),
        ("seed", 4),
        ("é", 1),
        ("🌱", 2),
        ("👩‍🌾", 5),
    ],
)
def test_lengths_are_utf16_units(text: str, length: int) -> None:
    assert units(text) == length


@given(ANYTHING, st.integers(0, 9))
def test_a_head_is_the_longest_beginning_that_fits(text: str, limit: int) -> None:
    text = clean(text)
    begun = head(text, limit)
    assert text.startswith(begun)
    assert units(begun) <= limit
    assert begun == text or units(text[: len(begun) + 1]) > limit


@given(WRITTEN, st.integers(2, 12), st.integers(2, 12))
def test_a_split_loses_nothing_that_can_be_seen(text: str, limit: int, first: int) -> None:
    pieces = split(text, limit, first)
    assert "".join("".join(pieces).split()) == "".join(text.split())
    assert all(units(piece) <= limit for piece in pieces[1:])
    assert all(piece.strip() for piece in pieces)


@given(WRITTEN, st.integers(2, 12))
def test_the_first_piece_may_have_less_room(text: str, first: int) -> None:
    pieces = split(text.strip(), 4096, first)
    assert not pieces or units(pieces[0]) <= first


@given(st.lists(st.text(st.sampled_from("ab🌱"), max_size=5), max_size=12))
def test_a_line_that_fits_is_never_broken(lines: list[str]) -> None:
    pieces = split("\n".join(lines), 10)
    assert [line for piece in pieces for line in piece.split("\n") if line] == [
        line for line in lines if line
    ]


def test_a_line_too_long_breaks_at_a_space() -> None:
    assert split("oat biscuits and tea", 14) == ("oat biscuits", " and tea")


@given(ANYTHING, st.integers(2, 20))
def test_a_shortened_text_is_one_line_that_fits(text: str, limit: int) -> None:
    short = shorten(clean(text), limit)
    assert units(short) <= limit
    assert short.split() == short.split(" ") or not short


@given(ANYTHING)
def test_a_button_carries_its_sentence_or_its_name(says: str) -> None:
    data = data_of(says)
    assert 1 <= len(data.encode()) <= DATA_BYTES  # source: Bot API, "InlineKeyboardButton"
    kept = to_keep(Reply(text="x", buttons=((Button("go", says),),)))
    assert kept == (() if data == clean(says) else ((data, clean(says)),))
    assert data.startswith("#") == bool(kept)


@pytest.mark.parametrize(
    ("says", "as_it_is"),
    [
        ("done", True),
        ("a" * 64, True),
        ("a" * 65, False),
        ("é" * 32, True),
        ("é" * 33, False),  # 64 is a count of bytes
        ("#3", False),  # would look like the name of a kept one
        ("", False),  # Telegram wants at least one byte
    ],
)
def test_which_sentences_fit_into_a_button(says: str, as_it_is: bool) -> None:
    assert (data_of(says) == says) is as_it_is


@given(ANYTHING, ANYTHING, ANYTHING, st.booleans())
def test_posts_keep_to_the_limits(title: str, text: str, label: str, with_file: bool) -> None:
    reply = Reply(text=text * 300, title=title, buttons=((Button(label, "done"),),), photo="p1")
    posts = compose(reply, "p.png", b"png" if with_file else None)
    for place, post in enumerate(posts):
        carries = with_file and place == 0
        assert (post.attached is not None) is carries
        assert units(post.text) <= (CAPTION if carries else TEXT)
        assert post.text.strip() or carries
        assert (post.keys != ()) is (place == len(posts) - 1)
        assert all(shown and units(shown) <= LABEL for row in post.keys for shown, _ in row)
    if posts:
        assert posts[0].text.startswith(shorten(clean(title), TITLE))
        assert [post.bold for post in posts[1:]] == [0] * (len(posts) - 1)


def test_a_reply_with_nothing_to_be_seen_has_no_post() -> None:
    assert compose(Reply(text=" \n")) == ()


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("year 2027.xlsx", "year 2027.xlsx"),
        ("../../etc/passwd", "_.._etc_passwd"),
        ('a"b\r\nc: d.csv', "a_b__c_ d.csv"),
        ("..", "file"),
        ("", "file"),
    ],
)
def test_file_names_are_only_names(name: str, safe: str) -> None:
    (post,) = compose(Reply(text="Here.", document="d1", document_name=name), "", b"x")
    assert post.attached is not None
    assert post.attached.name == safe


def test_a_picture_too_big_for_one_goes_as_a_document() -> None:
    reply = Reply(text="The year.", photo="p1")
    for size, picture in (PHOTO_BYTES, True), (PHOTO_BYTES + 1, False):
        (post,) = compose(reply, "year.png", bytes(size))
        assert post.attached is not None
        assert post.attached.picture is picture
