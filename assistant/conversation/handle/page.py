"""The year as a web page, sent as a file.

Knows: which year is meant. Must not know: how a page is written (sheets/). Invariants: nothing here
changes anything; the shop that it is given has no money in it where none is told (handle/seeing).
"""

from assistant.conversation.file_requests import SendPage
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, in_rows
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.replies import page as say
from assistant.conversation.sentences.page import year_page
from assistant.conversation.sentences.sheet import year_sheet
from assistant.planning.model import Shop
from assistant.planning.year.year_view import year_shown, year_view
from assistant.sheets.html_words import title
from assistant.sheets.year_html import year_html


def send_page(shop: Shop, request: SendPage, asked: Asked) -> Outcome:
    """Send a year as a web page, unasked the one that a year sheet shows."""
    shown = year_shown(shop, asked.today)
    if shown is None:
        return answer(asked, (say.NO_PLAN,))
    year, first = (request.year, 1) if request.year is not None else shown
    view = year_view(shop, year, asked.today, first)
    years = sorted({int(box.id[:4]) for box in shop.boxes})
    others = [Button(str(one), year_page(one)) for one in years[-4:] if one != year or first != 1]
    if not view.boxes:
        return answer(asked, (say.no_boxes(year, years),), others)
    content = year_html(shop, view, frozenset() if asked.money else asked.unsure)
    file = File(f"{asked.moment.ref}/page", say.file_name(view), content)
    same = year if first == 1 else None
    forms = (
        Button("As a picture", year_sheet(same)),
        Button("To print", year_sheet(same, form="page")),
    )
    reply = Reply(
        title=title(view),
        text=say.caption(view),
        buttons=in_rows((*others, *forms)),
        document=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


HANDLERS: dict[type, Handler] = {SendPage: send_page}
WRITES: frozenset[type] = frozenset()
