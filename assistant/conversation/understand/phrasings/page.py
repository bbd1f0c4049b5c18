"""Ways to ask for the year as a web page.

Knows: the request of the page. Must not know: how a line is matched, how a page looks. Invariants:
the sentences of buttons (EXACT) stand before all others; each example is understood as its row.
"""

from assistant.conversation.file_requests import SendPage
from assistant.conversation.sentences import page as says
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Built, Kind, Phrasing

KINDS: dict[str, Kind] = {}

# Words that stand in many of these patterns, longer ones first.
_WORDS = {
    "<please>": "[please |can you |could you |can i have |could i have |can we have |i want "
    "|i need |i'd like |let me have ]",
    "<send>": "[send |send me |send us |give |give me |make |make me |export |save |download |get "
    "|get me |show |show me ]",
    "<the>": "[a |an |the |my |our |one ]",
    "<web-page>": "(web page|webpage|web-page|html|html page|html file|web site page"
    "|page for the browser|page for my browser|page for my phone|browser page)",
    "<page>": "(page|web page|webpage|web-page|html|html page|html file"
    "|page for the browser|page for my browser|page for my phone)",
    "<plan>": "(year|whole year|plan|year plan|year's plan)",
    "<year>": "{year:sheetyear}",
    "<end>": "[ please| pls| again| now]",
}


def _page(_c: Context, year: int | None = None) -> Built:
    return SendPage(year)


def _row(name: str, says: str, example: str) -> Phrasing:
    for short, long in _WORDS.items():
        says = says.replace(short, long)
    return Phrasing(name, says, _page, "the year as a web page", example, asks=True)


EXACT: tuple[Phrasing, ...] = (
    _row("page, exact", says.year_page(), "year as a web page"),
    Phrasing(
        "page of a year, exact",
        "year {year:sheetyear} as a web page",
        _page,
        "the year as a web page",
        "year 2027 as a web page",
        asks=True,
    ),
)
TABLE: tuple[Phrasing, ...] = (
    _row(
        "web page of the year",
        """
        <please><send><the><plan>[ <year>] (as|as a|as an|as one|in a|on a|on one) <page><end>
        <please><send><year> (as|as a|as an|as one) <page><end>
        <please><send><the><web-page><end>
        <please><send><the><web-page> (of|for|with) <the><plan>[ <year>]<end>
        <please><send><the><web-page> (of|for) <year><end>
        <please><send><the>page (of|for|with) <the><plan>[ <year>]<end>
        <please><send><the>(year page|year webpage|year web page|year html)[ of| for][ <year>]<end>
        <please><send><the><plan>[ <year>] (for|in) (the|my|a) browser<end>
        """,
        "year as a web page",
    ),
)
HALVES: tuple[Phrasing, ...] = ()
