"""The year as a web page, read by a parser that is not ours: what stands in it, and that nothing
from outside is more than text. How it behaves in a browser: tests/browser."""

import re
from base64 import b64encode
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from hashlib import sha256
from html.parser import HTMLParser
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.model import Mark, Put, RecurringType, Shop
from assistant.planning.veiling import without_money
from assistant.planning.year.year_view import NO_BOX, year_view
from assistant.sheets import year_words
from assistant.sheets.html_style import DARK, LIGHT, PRINT
from assistant.sheets.html_words import SOON, facts
from assistant.sheets.markup import tag, written
from assistant.sheets.year_html import year_html
from tests.sheets.years import LONG, ORDINARY, SHOPS, TODAY, many
from tests.trade import shop

VOID = {"meta", "input"}
EVERY = pytest.mark.parametrize("made", SHOPS.values(), ids=SHOPS)


class Page(HTMLParser):
    """A page, taken to pieces: elements with their attributes, and the text inside them."""

    def __init__(self, content: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.texts: dict[str, list[str]] = {}
        self.feed(content.decode())
        self.close()
        assert self.open == [], "an element is left open"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.texts.setdefault(self.open[-1], []).append(data)

    @property
    def text(self) -> str:
        shown = (
            part
            for name, parts in self.texts.items()
            if name not in ("style", "script")
            for part in parts
        )
        return " ".join(" ".join(shown).split())

    def all(self, name: str) -> list[dict[str, str | None]]:
        return [attributes for tag, attributes in self.elements if tag == name]


def page(made: Shop = ORDINARY, today: date = TODAY, year: int = 2027) -> Page:
    return Page(year_html(made, year_view(made, year, today)))


# --- what stands in it ------------------------------------------------------------------------


@EVERY
def test_every_box_and_every_item_stands_in_it(made: Shop) -> None:
    view = year_view(made, 2027, TODAY)
    read = page(made)
    names = {" ".join(text.split()) for text in read.texts["bdi"]}
    assert len(read.all("article")) == len(view.boxes)
    for box in view.boxes:
        assert year_words.theme(box) in names
    for item in made.items:
        assert " ".join(item.name.split()) in names
    rows = [one for one in read.all("tr") if "data-state" in one]
    assert len(rows) == sum(box.items for box in view.boxes)


def test_an_item_says_who_how_many_and_by_when() -> None:
    made = shop(
        "Aldermoor: lead 20d",
        "2027-03 Rain and roots: notebook@Aldermoor 450 x 3.10, type notebook, form ruled",
        subscribers=420,
    )
    [part] = facts(made, year_view(made, 2027, TODAY)).parts
    [line] = part.lines
    assert (line.name, line.form, line.supplier) == ("notebook", "notebook, ruled", "Aldermoor")
    assert line.pieces == "450, £3.10 each"
    assert line.by is not None
    assert line.by.weekday() < 5
    assert (line.ordered, line.late, line.unknown) == ("", False, "")
    text = page(made).text
    assert "450, £3.10 each" in text
    assert f"{line.by.day} {line.by:%b} 2027" in text


def test_what_was_ordered_has_no_day_any_more() -> None:
    made = shop("Aldermoor: lead 20d", "2027-03 Rain: notebook@Aldermoor 450 x 3.10")
    made = apply(made, (Put(Mark("2027-03.notebook/order", "done")),))
    [part] = facts(made, year_view(made, 2027, TODAY)).parts
    [line] = part.lines
    assert (line.by, line.ordered, line.state) == (None, "ordered", "ordered")


def test_a_day_that_rests_on_something_unknown_says_so() -> None:
    made = shop("2027-03 Rain: notebook 450 x 3.10", subscribers=420)
    [part] = facts(made, year_view(made, 2027, TODAY)).parts
    assert part.lines[0].unknown == "supplier and lead time not known"


def test_what_is_late_is_said_in_words() -> None:
    made = shop("Aldermoor: lead 20d", "2027-03 Rain: notebook@Aldermoor 450 x 3.10")
    told = facts(made, year_view(made, 2027, date(2027, 3, 1)))
    assert told.todos[0].late
    assert re.fullmatch(r"\d+ working days? late", told.todos[0].off)
    assert told.parts[0].lines[0].late


@EVERY
def test_what_is_next_stands_on_top_by_date(made: Shop) -> None:
    told = facts(made, year_view(made, 2027, TODAY))
    days = [one.on for one in told.todos]
    assert days == sorted(days)
    assert len(days) <= SOON
    assert not told.more or len(days) == SOON


def test_types_that_come_back_lead_to_their_boxes() -> None:
    made = replace(many(12, 4), types=(RecurringType("t", "pencil", 5),))
    read = page(made)
    ids = {one.get("id") for _, one in read.elements}
    goals = [one["href"] for one in read.all("a")]
    assert len(goals) > 12
    assert all(goal and goal.startswith("#") and goal[1:] in ids for goal in goals)


def test_months_without_a_box_are_shown_as_gaps() -> None:
    gaps = [one for one in page().all("article") if one.get("class") == "gap"]
    view = year_view(ORDINARY, 2027, TODAY)
    assert len(gaps) == sum(box.state == NO_BOX for box in view.boxes) == 2


def test_a_running_year_is_named_by_its_ends() -> None:
    view = year_view(ORDINARY, 2026, TODAY, first=4)
    assert "The year Apr 2026 to Mar 2027" in Page(year_html(ORDINARY, view)).text


def test_the_same_year_gives_the_same_bytes() -> None:
    view = year_view(ORDINARY, 2027, TODAY)
    assert year_html(ORDINARY, view) == year_html(ORDINARY, view)


# --- money ------------------------------------------------------------------------------------

MONEY = re.compile(r"[£€$¥]|\bcost|\beach\b", re.IGNORECASE)


@EVERY
def test_without_money_nothing_speaks_of_it(made: Shop) -> None:
    named = replace(
        made,
        boxes=tuple(replace(box, theme="Rain") for box in made.boxes),
        items=tuple(replace(item, name="thing") for item in made.items),
    )
    assert not MONEY.search(page(without_money(named)).text)


def test_numbers_that_rest_on_money_are_left_out() -> None:
    made = shop("2027-03 Rain: notebook; pencil 450", subscribers=420)
    items = frozenset(one.id for one in made.items)
    told = facts(made, year_view(made, 2027, TODAY), items)
    pieces = {line.name: line.pieces for line in told.parts[0].lines}
    assert pieces == {"notebook": "", "pencil": "450"}


# --- text from outside is text ----------------------------------------------------------------

HOSTILE = (
    "<script>alert(1)</script>",
    "</title></style></script><img src=x onerror=alert(1)>",
    '"><svg onload=alert(1)>',
    "' onmouseover='alert(1)",
    "javascript:alert(1)",
    "<!-- --!> <![CDATA[x]]> &lt;b&gt; &#60;",
    "<a href='https://example.invalid/'>x</a> https://example.invalid/",
    "<base href=//example.invalid><meta http-equiv=refresh content=0>",
    "</bdi></td></table></article></main><form action=//example.invalid><input>",
    "\x00\x1b\u202e\u2066\ufeff\u2028\ufffe",
)
OURS = {
    *("html", "head", "meta", "title", "style", "script", "body", "header", "nav", "main"),
    *("footer", "article", "h1", "h2", "h3", "p", "a", "ul", "li", "dl", "dt", "dd", "div"),
    *("span", "b", "small", "bdi", "time", "label", "input", "select", "optgroup", "option"),
    *("button", "output", "table", "thead", "tbody", "tr", "th", "td"),
}
POINTING = {
    "src",
    "href",
    "action",
    "formaction",
    "data",
    "poster",
    "srcset",
    "style",
    "background",
}


def hostile(text: str) -> Shop:
    """A shop in which whoever names things writes nothing but this."""
    made = shop(
        "Aldermoor: lead 20d",
        "2027-03 x: notebook@Aldermoor 450 x 3.10; tea@Aldermoor 3 x 1.20",
        "2027-05 y: tea@Aldermoor 450 x 3.10",
        name=text,
        target=Decimal(6),
    )
    return replace(
        made,
        suppliers=tuple(replace(one, name=text) for one in made.suppliers),
        boxes=tuple(replace(one, theme=text) for one in made.boxes),
        items=tuple(
            replace(one, id=f"{one.id}{text}", name=text, type=text, form=text)
            for one in made.items
        ),
        types=(RecurringType("t", text, 4),),
    )


def check_safe(content: bytes) -> None:
    read = Page(content)
    assert {name for name, _ in read.elements} <= OURS
    assert len(read.all("script")) == len(read.all("style")) == 1
    assert len(read.all("input")) == 1
    for _, attributes in read.elements:
        assert not [name for name in attributes if name.startswith("on")]
        pointing = {name: attributes[name] or "" for name in POINTING & attributes.keys()}
        assert all(name == "href" and goal.startswith("#") for name, goal in pointing.items())
    assert not re.search(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]", content)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text(text: str) -> None:
    made = hostile(text)
    content = year_html(made, year_view(made, 2027, TODAY))
    check_safe(content)
    names = Page(content).texts["bdi"]
    shown = "".join("\ufffd" if c in "\x00\x1b\ufffe" else c for c in " ".join(text.split()))
    assert names.count(shown) >= 8


@given(st.text(st.characters(), max_size=60) | st.sampled_from(HOSTILE))
def test_any_text_stays_text(text: str) -> None:
    made = hostile(text)
    check_safe(year_html(made, year_view(made, 2027, TODAY)))


def test_half_a_character_is_marked() -> None:
    assert written(tag("p", "a\ud800b")) == "<p>a\ufffdb</p>"
    assert written(tag("p", title="\"<&'")) == '<p title="&quot;&lt;&amp;&#x27;"></p>'


# --- one file, its own style and script, and no other -----------------------------------------


def test_the_policy_lets_in_what_stands_there_and_nothing_else() -> None:
    """Content Security Policy Level 3, section 2.3.1: a hash is that of the element's text."""
    content = year_html(ORDINARY, year_view(ORDINARY, 2027, TODAY))
    read = Page(content)
    [policy] = [m["content"] for m in read.all("meta") if m.get("http-equiv")]
    assert policy is not None
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == rules["base-uri"] == rules["form-action"] == "'none'"
    for name in ("style", "script"):
        [text] = re.findall(rf"<{name}>(.*?)</{name}>", content.decode(), re.DOTALL)
        digest = b64encode(sha256(text.encode()).digest()).decode()
        assert rules[f"{name}-src"] == f"'sha256-{digest}'"
    assert not re.search(rb"url\(|@import|https?:", content)


def test_every_field_has_its_label() -> None:
    read = page()
    labels = {one["for"] for one in read.all("label")}
    controls = {one["id"] for name in ("input", "select") for one in read.all(name)}
    assert labels == controls == {"words", "state", "supplier"}


@EVERY
def test_ids_are_there_once_and_headings_skip_no_level(made: Shop) -> None:
    read = page(made)
    ids = [one["id"] for _, one in read.elements if "id" in one]
    assert len(ids) == len(set(ids))
    levels = [int(name[1]) for name, _ in read.elements if re.fullmatch("h[1-6]", name)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


# --- colours ----------------------------------------------------------------------------------


def luminance(colour: str) -> float:
    """Relative luminance; source: WCAG 2.2, definition of that name."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (
        one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def pairs() -> Iterator[tuple[dict[str, str], str, str, float]]:
    """Colours that lie on each other, and how far apart they must be."""
    for palette, on in product((LIGHT, DARK, PRINT), ("paper", "wash")):
        for name in ("ink", "soft", "link", "warn"):
            yield palette, name, on, 4.5
        yield palette, "line", on, 3.0


@pytest.mark.parametrize(("palette", "name", "on", "least"), [*pairs()])
def test_colours_are_far_enough_apart(
    palette: dict[str, str], name: str, on: str, least: float
) -> None:
    assert contrast(palette[name], palette[on]) >= least


def test_contrast_is_reckoned_as_wcag_says() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # widely published


def test_the_longest_names_are_not_cut() -> None:
    assert " ".join(LONG.split()) in page(SHOPS["long names"]).texts["bdi"]
