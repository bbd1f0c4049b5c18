"""The year as one web page: to read on a phone, to search, to hand on.

Knows: what stands where on the page. Must not know: how a fact is worded (html_words.py), how the
page looks (html_style.py), how an element is written (markup.py). Invariants: one file that fetches
nothing and needs no script to be read; the style and the script are those of this file and no
others (Content Security Policy Level 3, hashes in a meta element); text from outside stands as text
alone; the same year gives the same bytes.
"""

from base64 import b64encode
from collections.abc import Iterator, Sequence
from hashlib import sha256

from assistant.planning.model import Shop
from assistant.planning.year.year_view import YearView
from assistant.sheets.html_style import SCRIPT, STYLE
from assistant.sheets.html_words import Facts, Kind, Line, Part, Todo, facts
from assistant.sheets.markup import Html, Inside, plain, raw, tag, theirs, time, written
from assistant.sheets.writing import full_day, plural

COLUMNS = ("Item", "Supplier", "Pieces", "Order by", "State")
NOTHING = "\u2013"  # an empty cell


def year_html(shop: Shop, view: YearView, unsure: frozenset[str] = frozenset()) -> bytes:
    """Return a year as a web page, in UTF-8. The shop is as its reader may see it; of items in
    `unsure` (Item.id) how many to order is not told."""
    told = facts(shop, view, unsure)
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=_policy()),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("title", plain(f"{told.title}, {told.shop}")),
        raw("style", STYLE),
    )
    body = tag("body", *_body(told), raw("script", SCRIPT))
    page = f"<!DOCTYPE html>\n{written(tag('html', head, body, lang='en-GB'))}\n"
    return page.encode()


def _policy() -> str:
    style, script = (_hash(text) for text in (STYLE, SCRIPT))
    return (
        f"default-src 'none'; style-src {style}; script-src {script}; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def _body(told: Facts) -> Iterator[Html]:
    yield tag("a", "Skip to what is next", href="#main", class_="skip")
    yield tag(
        "header",
        tag("p", theirs(told.shop), class_="soft"),
        tag("h1", told.title),
        tag("p", f"{', '.join(told.summary)}. {told.as_of}."),
    )
    links = (tag("li", tag("a", one.short, href=f"#{_id(one)}")) for one in told.parts)
    yield tag("nav", tag("ul", links, class_="row"), aria_label="Boxes")
    yield tag("main", *_main(told), id="main", tabindex="-1")
    yield tag(
        "footer",
        tag("p", f"{told.as_of}. What changed since then is not in this page.", class_="soft"),
    )


def _main(told: Facts) -> Iterator[Html]:
    yield tag("h2", "Next to do")
    if told.todos:
        yield tag("ul", map(_todo, told.todos), class_="todo", role="list")
        if told.more:
            yield tag("p", f"And {plural(told.more, 'thing')} after that.", class_="soft")
    else:
        yield tag("p", "Nothing is dated that is still to be done.")
    yield _find(told)
    yield tag("h2", "Boxes")
    suppliers = {name: str(n) for n, name in enumerate(told.suppliers)}
    yield from (_part(one, suppliers) for one in told.parts)
    if told.kinds:
        yield tag("h2", "Types that come back")
        yield tag("ul", map(_kind, told.kinds), class_="kinds")


def _todo(one: Todo) -> Html:
    return tag(
        "li",
        time(one.on, full_day(one.on)),
        " ",
        tag("span", theirs(one.what), " (", tag("a", one.of, href=f"#box-{one.box}"), ")"),
        " ",
        tag("b", one.off, class_="late") if one.late else tag("small", one.off, class_="soft"),
    )


def _kind(one: Kind) -> Html:
    links = [tag("a", name, href=f"#box-{id}") for id, name in one.boxes]
    between = [part for link in links for part in (", ", link)][1:]
    return tag("li", theirs(one.name), f" {one.times}{': ' if links else ''}", *between)


# --- narrowing down ---------------------------------------------------------------------------


def _find(told: Facts) -> Html:
    """The fields, hidden until the script shows them."""
    states = (
        tag("optgroup", _options("box", told.box_states), label="Boxes"),
        tag("optgroup", _options("item", told.item_states), label="Items"),
    )
    suppliers = (tag("option", plain(name), value=str(n)) for n, name in enumerate(told.suppliers))
    words = tag("input", type="search", id="words", autocomplete="off", spellcheck="false")
    fields = (
        _field("words", "Words", words),
        _field("state", "State", _select("state", "Any state", *states)),
        _field("supplier", "Supplier", _select("supplier", "Any supplier", suppliers)),
        tag("button", "Show all", type="button", id="all"),
    )
    return tag(
        "div",
        tag("h2", "Show only", id="find-name"),
        tag("div", fields, class_="fields"),
        tag("output", id="shown", for_="words state supplier"),
        id="find",
        role="search",
        aria_labelledby="find-name",
        hidden=True,
    )


def _field(id: str, label: str, control: Html) -> Html:
    return tag("div", tag("label", label, for_=id), control)


def _select(id: str, unset: str, *options: Inside) -> Html:
    return tag("select", tag("option", unset, value=""), *options, id=id, autocomplete="off")


def _options(of: str, states: Sequence[str]) -> Iterator[Html]:
    return (tag("option", state, value=f"{of} {state}") for state in states)


# --- boxes ------------------------------------------------------------------------------------


def _part(one: Part, suppliers: dict[str, str]) -> Html:
    name = f"{_id(one)}-name"
    theme = theirs(one.theme) if one.theme else ""
    heading = tag("h3", tag("span", one.name, " ", class_="month"), theme, id=name)
    inside: list[Html] = [heading]
    if not one.missing:
        inside.append(tag("dl", *_facts(one)))
    if one.lines:
        inside.append(_table(one, name, suppliers))
    return tag(
        "article",
        *inside,
        id=_id(one),
        aria_labelledby=name,
        class_="gap" if one.missing else False,
        data_state=f"box {one.state}",
    )


def _id(one: Part) -> str:
    return f"box-{one.id}"


def _facts(one: Part) -> Iterator[Html]:
    if one.ships is not None:
        yield _fact("Ships", time(one.ships, full_day(one.ships)))
    late = (", ", tag("b", one.late, class_="late")) if one.late else ()
    yield _fact("State", one.state, *late)
    yield from (_fact(label, words) for label, words in one.facts)


def _fact(label: str, *words: Inside) -> Html:
    return tag("div", tag("dt", label), tag("dd", *words))


def _table(one: Part, name: str, suppliers: dict[str, str]) -> Html:
    """The items. Roles are said again, since on a narrow screen rows are laid out as blocks, and
    some browsers take that for no table."""
    heads = (tag("th", column, scope="col", role="columnheader") for column in COLUMNS)
    rows = (_row(line, suppliers.get(line.supplier, "")) for line in one.lines)
    return tag(
        "table",
        tag("thead", tag("tr", heads, role="row"), role="rowgroup"),
        tag("tbody", rows, role="rowgroup"),
        role="table",
        aria_labelledby=name,
    )


def _row(line: Line, supplier: str) -> Html:
    kind = tag("span", theirs(line.form), class_="kind") if line.form else ""
    by: Inside = line.ordered or NOTHING
    if line.by is not None:
        late = (" ", tag("b", "late", class_="late")) if line.late else ()
        unknown = (" ", tag("span", line.unknown, class_="kind")) if line.unknown else ()
        by = tag("span", time(line.by, full_day(line.by)), *late, *unknown)
    values: tuple[Inside, ...] = (
        theirs(line.supplier) if line.supplier else NOTHING,
        tag("span", line.pieces) if line.pieces else NOTHING,
        by,
        line.state,
    )
    cells = (
        tag("td", value, role="cell", data_label=label)
        for label, value in zip(COLUMNS[1:], values, strict=True)
    )
    return tag(
        "tr",
        tag("th", theirs(line.name), " ", kind, scope="row", role="rowheader"),
        cells,
        role="row",
        data_state=f"item {line.state}",
        data_supplier=supplier,
    )
