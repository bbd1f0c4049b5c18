"""What is said beside a web page of the year.

Knows: the year as facts. Must not know: how a page is written. Invariants: how to open it stands
beside every page, on one line.
"""

from collections.abc import Iterable

from assistant.conversation.replies.plain import listed
from assistant.planning.year.year_view import YearView
from assistant.sheets import writing, year_words

NO_PLAN = (
    "Nothing is planned yet, so there is no year to make a page of. To begin: March theme rain "
    "and roots"
)
OPEN = "Open it in any browser, on a phone too; it needs no network."


def no_boxes(year: int, years: Iterable[int]) -> str:
    """Say that nothing is planned for a year, for which years something is, and what to do."""
    return (
        f"No box is planned for {year}. The plan has boxes of {listed([*map(str, years)])}. "
        f"To begin {year}: March {year} theme rain and roots"
    )


def caption(view: YearView) -> str:
    """Say what a page comes to and how to open it."""
    return f"{', '.join(filter(None, year_words.summary(view)))}.\n{OPEN}"


def file_name(view: YearView) -> str:
    """Name the file of a page."""
    return writing.file_name(view.shop, f"year {year_words.title(view)}", view.on, "html")
