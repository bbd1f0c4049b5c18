"""The web page of the year in a headless Chromium: at three widths, by keyboard, with scripts off,
in light and dark, printed, and under an accessibility checker that is not ours (axe-core, from
npm; its file is named by TWELVEFOLD_AXE). Nothing touches a network."""

import base64
import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader

from assistant.planning.changes import apply
from assistant.planning.model import Mark, Put, Shop
from assistant.planning.year.year_view import year_view
from assistant.sheets.year_html import COLUMNS, year_html
from tests.browser.chromium import AXE, PATH, Chromium, needed
from tests.sheets.test_year_html import HOSTILE, hostile
from tests.sheets.years import SHOPS, TODAY
from tests.trade import shop

WIDTHS = (360, 768, 1280)

STORY = shop(
    "Aldermoor: lead 20d",
    "Brackenfold: lead 10d",
    "2027-01 Bare branches: log@Aldermoor 450 x 3.10; hazel tea@Brackenfold 450 x 1.20",
    "2027-03 Rain and roots: notebook@Aldermoor 450 x 3.10",
    "2027-05 First swifts: mint tea@Brackenfold 450 x 1.20; crème pin@Aldermoor 450 x 1.45",
    "2027-07",
    name="Mossgate Field Club",
    subscribers=420,
)
STORY = apply(STORY, (Put(Mark("2027-03.notebook/order", "done")),))
PAGES = {**SHOPS, "story": STORY, **{f"hostile {n}": hostile(t) for n, t in enumerate(HOSTILE)}}
EVERY = pytest.mark.parametrize("name", PAGES)
SHOWN = (
    "[...document.querySelectorAll('article:not(.gap) tbody tr, article:not(.gap):not(:has(tr))')]"
    ".filter(one => one.checkVisibility()).map(one => one.querySelector('bdi').textContent)"
)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chromium]:
    needed(PATH, "Chromium")
    with Chromium(tmp_path_factory.mktemp("profile")) as browser:
        yield browser


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every page as a file."""
    folder = tmp_path_factory.mktemp("pages")
    return {
        name: written(folder / f"{n}.html", made) for n, (name, made) in enumerate(PAGES.items())
    }


def written(path: Path, made: Shop) -> Path:
    path.write_bytes(year_html(made, year_view(made, 2027, TODAY)))
    return path


# --- at every width ---------------------------------------------------------------------------


@EVERY
def test_it_fits_at_every_width(browser: Chromium, pages: dict[str, Path], name: str) -> None:
    for width in WIDTHS:
        browser.open(pages[name], width)
        assert browser.value("innerWidth") == width
        assert browser.value("document.documentElement.scrollWidth") <= width
        outside = browser.value(
            "[...document.querySelectorAll('main *')].filter(one => one.checkVisibility()"
            " && !one.closest('thead') && one.getBoundingClientRect().right > innerWidth + 1)"
            ".length"
        )
        assert outside == 0


@EVERY
def test_it_asks_for_nothing_and_the_browser_has_no_complaint(
    browser: Chromium, pages: dict[str, Path], name: str
) -> None:
    browser.open(pages[name])
    assert browser.asked_for == [pages[name].as_uri()]
    assert browser.complaints == []
    assert browser.value("document.scripts.length") == 1
    assert browser.value("getComputedStyle(document.body).maxWidth") != "none"  # its style is on
    assert browser.value("!document.getElementById('find').hidden")  # so is its script


def test_what_is_put_into_the_page_does_not_run(browser: Chromium, pages: dict[str, Path]) -> None:
    """The policy holds even where a mark of theirs would get in."""
    browser.open(pages["story"])
    browser.value(
        "document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=window.ran=1>');"
        "const script = document.createElement('script'); script.textContent = 'window.ran = 1';"
        "document.body.append(script)"
    )
    assert browser.value("window.ran") is None
    assert len(browser.complaints) >= 3
    assert all("Content Security Policy" in one for one in browser.complaints)
    failed = [one for one in browser.events if one.get("method") == "Network.loadingFailed"]
    assert [one["params"]["blockedReason"] for one in failed] == ["csp"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_light_and_dark_are_what_was_asked_for(
    browser: Chromium, pages: dict[str, Path], scheme: str
) -> None:
    browser.open(pages["ordinary"], 360, color_scheme=scheme)
    shot = base64.b64decode(browser.call("Page.captureScreenshot")["data"])
    greys = Image.open(io.BytesIO(shot)).convert("L").histogram()
    usual = greys.index(max(greys))
    assert usual > 230 if scheme == "light" else usual < 40


# --- by keyboard, and without a pointer -------------------------------------------------------


def test_the_first_key_leads_past_the_links(browser: Chromium, pages: dict[str, Path]) -> None:
    browser.open(pages["story"])
    browser.press("Tab")
    assert browser.value("document.activeElement.textContent") == "Skip to what is next"
    assert browser.value("document.activeElement.getBoundingClientRect().left") >= 0
    browser.press("Enter")
    assert browser.value("document.activeElement.id") == "main"


def test_all_that_can_be_used_is_reached_and_seen(
    browser: Chromium, pages: dict[str, Path]
) -> None:
    browser.open(pages["story"])
    wanted = browser.value("document.querySelectorAll('a, input, select, button').length")
    reached = set()
    for _ in range(wanted):
        browser.press("Tab")
        reached.add(browser.value("[...document.all].indexOf(document.activeElement)"))
        assert browser.value("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    assert len(reached) == wanted


def test_it_is_narrowed_down_by_keyboard(browser: Chromium, pages: dict[str, Path]) -> None:
    browser.open(pages["story"])
    everything = browser.value(SHOWN)
    assert len(everything) == 6
    to_field(browser, "words")
    browser.type("tea")
    assert browser.value(SHOWN) == ["hazel tea", "mint tea"]
    assert told(browser) == "Shown: 2 boxes, 2 items."
    browser.type(" swifts")
    assert browser.value(SHOWN) == ["mint tea"]
    to_field(browser, "all")
    browser.press("Enter")
    assert browser.value(SHOWN) == everything
    to_field(browser, "supplier")
    browser.press("ArrowDown")
    assert browser.value(SHOWN) == ["log", "notebook", "crème pin"]
    to_field(browser, "state")
    browser.type("ord")
    assert browser.value(SHOWN) == ["notebook"]
    assert told(browser) == "Shown: 1 box, 1 item."
    assert (
        browser.value("[...document.querySelectorAll('nav li')].filter(li => !li.hidden).length")
        == 1
    )


def test_boxes_are_found_by_state_and_words_without_accents(
    browser: Chromium, pages: dict[str, Path]
) -> None:
    browser.open(pages["story"])
    to_field(browser, "state")
    browser.type("no th")
    assert browser.value(SHOWN) == ["No theme yet"]
    to_field(browser, "all")
    browser.press("Space")
    to_field(browser, "words")
    browser.type("CREME")
    assert browser.value(SHOWN) == ["crème pin"]
    browser.press("Escape")
    browser.type("zzz")
    assert browser.value(SHOWN) == []
    assert told(browser) == "Shown: 0 boxes, 0 items."


def to_field(browser: Chromium, id: str) -> None:
    """Go on by Tab until a control has the focus."""
    for _ in range(60):
        if browser.value("document.activeElement.id") == id:
            return
        browser.press("Tab")
    raise AssertionError(f"{id} is not reached")


def told(browser: Chromium) -> Any:
    return browser.value("document.getElementById('shown').textContent")


@EVERY
def test_with_scripts_off_all_is_there(
    browser: Chromium, pages: dict[str, Path], name: str
) -> None:
    browser.open(pages[name], 360, scripts=False)
    assert browser.value("document.getElementById('find').checkVisibility()") is False
    unseen = browser.value(
        "[...document.querySelectorAll('article, tbody tr, .todo li')]"
        ".filter(one => !one.checkVisibility()).length"
    )
    assert unseen == 0
    assert "Next to do" in browser.value("document.body.innerText")


# --- read out ---------------------------------------------------------------------------------


@pytest.mark.parametrize("width", WIDTHS)
def test_it_is_read_out_as_landmarks_headings_and_tables(
    browser: Chromium, pages: dict[str, Path], width: int
) -> None:
    browser.open(pages["story"], width)
    told = browser.roles()
    roles = Counter(role for role, _ in told)
    for landmark in ("banner", "navigation", "main", "search", "contentinfo"):
        assert roles[landmark] == 1
    assert roles["table"] == 3
    assert roles["rowheader"] == 5
    assert roles["columnheader"] == 3 * len(COLUMNS)
    assert {"searchbox", "status"} <= roles.keys()
    assert ("heading", "March 2027 Rain and roots") in told
    assert ("combobox", "Supplier") in told
    assert ("searchbox", "Words") in told


CHECKED = [
    *((name, 360, "light") for name in ("ordinary", "empty", "26 boxes, 20 types")),
    *(("story", width, scheme) for width in WIDTHS for scheme in ("light", "dark")),
    *(("long names", width, "dark") for width in (360, 768)),
]


@pytest.mark.parametrize(("name", "width", "scheme"), CHECKED)
def test_the_checker_finds_nothing(
    browser: Chromium, pages: dict[str, Path], name: str, width: int, scheme: str
) -> None:
    browser.open(pages[name], width, color_scheme=scheme)
    found = checked(browser)
    assert found["wrong"] == []
    assert found["passes"] > 25


def test_the_checker_would_find_something(browser: Chromium, pages: dict[str, Path]) -> None:
    browser.open(pages["story"])
    browser.value(
        "document.querySelector('label').remove(); document.documentElement.lang = '';"
        "document.documentElement.style.setProperty('--soft', '#bbbbbb')"
    )
    rules = {rule for rule, _ in checked(browser)["wrong"]}
    assert {"label", "html-has-lang", "color-contrast"} <= rules


def checked(browser: Chromium) -> Any:
    """What axe-core finds: how many rules passed, which did not or could not be decided."""
    needed(AXE and Path(AXE).is_file(), "axe-core (TWELVEFOLD_AXE)")
    browser.value(Path(AXE).read_text() + "; null")
    return browser.value(
        "axe.run(document, {resultTypes: ['violations', 'incomplete']}).then(found => ({"
        "passes: found.passes.length,"
        "wrong: [...found.violations, ...found.incomplete].map(rule => [rule.id,"
        " rule.nodes.slice(0, 3).map(node => node.html.slice(0, 200))])}))"
    )


# --- printed ----------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", [(8.27, 11.69), (8.5, 11.0)], ids=["A4", "Letter"])
def test_it_prints_whole_and_without_what_paper_cannot_do(
    browser: Chromium, pages: dict[str, Path], paper: tuple[float, float]
) -> None:
    browser.open(pages["story"])
    width, height = paper
    made = browser.call("Page.printToPDF", paperWidth=width, paperHeight=height)
    read = PdfReader(io.BytesIO(base64.b64decode(made["data"])))
    text = " ".join(" ".join(page.extract_text() for page in read.pages).split())
    for item in STORY.items:
        assert item.name in text
    assert "Rain and roots" in text
    assert "Show only" not in text
    assert "Skip to" not in text
