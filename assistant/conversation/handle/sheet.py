"""The year sheet, shown: as a picture, as a page to print, or in words.

Knows: which year and which part of it is meant, which form it is sent in. Must not know: how a
sheet is drawn (sheets/) or written (replies/). Invariant: nothing here changes anything.
"""

from collections.abc import Callable, Iterable

from msgspec.structs import replace

from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, in_rows
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.replies import sheet as say
from assistant.conversation.sentences.page import year_page as web_page
from assistant.conversation.sentences.sheet import Form
from assistant.conversation.sentences.sheet import year_sheet as asking
from assistant.conversation.sentences.workbook import workbook
from assistant.conversation.year_requests import YearSheet
from assistant.planning.changes import profile_of
from assistant.planning.model import Shop
from assistant.planning.year.year_view import (
    NO_BOX,
    YearView,
    quarter_of,
    quarter_of_month,
    year_shown,
    year_view,
)
from assistant.sheets.blocks import A4, Paper, paper_of
from assistant.sheets.quarter_sheet import quarter_picture
from assistant.sheets.year_page import year_page
from assistant.sheets.year_sheet import replaced, year_picture

TOLD = 4  # boxes that one message tells in words


def year_sheet(shop: Shop, request: YearSheet, asked: Asked) -> Outcome:
    """Show a year, or a quarter of it, in the form that was asked for."""
    shown = year_shown(shop, asked.today)
    if shown is None:
        return answer(asked, (say.NO_PLAN,))
    if request.year:
        shown = (request.year, 1)
    elif request.quarter:
        shown = next(one for one in _quarters_of(shown) if one[1] == request.quarter)[0], 1
    year, first = shown
    view = year_view(shop, year, asked.today, first)
    if not view.boxes:
        years = sorted({int(box.id[:4]) for box in shop.boxes})
        buttons = (Button(str(one), asking(one, form=request.form)) for one in years[-4:])
        return answer(asked, (say.no_boxes(year, years),), buttons)
    whole = view
    if request.quarter:
        view = quarter_of(view, request.quarter)
        if not _planned(view):
            return answer(asked, (say.no_quarter(view),), _parts(whole, view, request.form))
    paper = paper_of(profile_of(shop).country)
    return _FORMS[request.form](whole, view, asked, paper)


def _picture(whole: YearView, view: YearView, asked: Asked, _paper: Paper) -> Outcome:
    content = quarter_picture(view) if view.quarter else year_picture(view)
    file = File(f"{asked.moment.ref}/sheet", say.file_name(view, "png"), content)
    reply = Reply(
        title=say.heading(view),
        text=_lines((*say.caption(view), _question_marks(view))),
        buttons=in_rows(
            (*_parts(whole, view, "picture"), *_forms(view, "page", "words"), *_to_take(view))
        ),
        photo=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


def _page(whole: YearView, view: YearView, asked: Asked, paper: Paper) -> Outcome:
    del whole
    file = File(f"{asked.moment.ref}/page", say.file_name(view, "pdf"), year_page(view, paper))
    reply = Reply(
        title=say.heading(view),
        text=_lines((say.to_print(paper == A4), _question_marks(view))),
        buttons=in_rows(_forms(view, "picture", "words")),
        document=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


def _words(whole: YearView, view: YearView, asked: Asked, _paper: Paper) -> Outcome:
    """A few boxes in the message, more of them as a text file."""
    parts = say.in_words(view)
    buttons = (*_parts(whole, view, "words"), *_forms(view, "picture"))
    lines = say.caption(view)
    if len(parts) <= TOLD:
        told = "\n\n".join((_lines(lines), *parts))
        return answer(asked, (told,), buttons, title=say.heading(view))
    file = File(f"{asked.moment.ref}/words", say.file_name(view, "txt"), say.whole(view).encode())
    outcome = answer(asked, lines, buttons, title=say.heading(view))
    reply = Reply(text=say.WHOLE, document=file.id, document_name=file.name)
    return replace(outcome, replies=(*outcome.replies, reply), files=(file,))


_FORMS: dict[Form, Callable[[YearView, YearView, Asked, Paper], Outcome]] = {
    "picture": _picture,
    "page": _page,
    "words": _words,
}


def _question_marks(view: YearView) -> str:
    return say.REPLACED if replaced(view) else ""


def _lines(lines: Iterable[str]) -> str:
    return "\n".join(filter(None, lines))


def _planned(view: YearView) -> bool:
    return any(one.state != NO_BOX for one in view.boxes)


def _quarters_of(shown: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    """The quarters, each with its year, that begin in twelve months or hold the first of them."""
    year, first = shown
    places = range(quarter_of_month(first) - 1, quarter_of_month(first) + 3)
    return tuple((year + n // 4, n % 4 + 1) for n in places)


def _parts(whole: YearView, view: YearView, form: Form) -> tuple[Button, ...]:
    """The other quarters that have boxes, and the year where a quarter is shown."""
    quarters = tuple(
        Button(say.quarter(number), asking(year, number, form))
        for year, number in _quarters_of((whole.year, whole.first))
        if number != view.quarter and _planned(quarter_of(whole, number))
    )
    year = (Button("The year", asking(whole.year, form=form)),) if view.quarter else ()
    return (*year, *quarters)


def _forms(view: YearView, *forms: Form) -> tuple[Button, ...]:
    """The same sheet in other forms; the running year is the one shown unasked."""
    year = view.year if view.first == 1 else None
    return tuple(Button(say.FORMS[form], asking(year, view.quarter, form)) for form in forms)


def _to_take(view: YearView) -> tuple[Button, ...]:
    """A year as files to take along."""
    if view.quarter:
        return ()
    year = view.year if view.first == 1 else None
    return (Button("Web page", web_page(year)), Button("Workbook", workbook(year)))


HANDLERS: dict[type, Handler] = {YearSheet: year_sheet}
WRITES: frozenset[type] = frozenset()
