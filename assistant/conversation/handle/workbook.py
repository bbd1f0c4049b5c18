"""The plan to take away as a workbook, or one sheet of it as CSV.

Knows: what is asked for, who may see it. Must not know: what stands in a sheet, how a file is
written (sheets/). Invariants: nothing here changes anything; where money is not told, the file has
no column and no sheet about it.
"""

from collections.abc import Iterable

from assistant.conversation.file_requests import SendSheet, SendWorkbook
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, in_rows
from assistant.conversation.handle.seeing import may_see_money
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.replies import crew
from assistant.conversation.replies import workbook as say
from assistant.conversation.sentences import workbook as says
from assistant.planning.changes import profile_of
from assistant.planning.model import Shop
from assistant.sheets.blocks import paper_of
from assistant.sheets.csv_out import csv_out
from assistant.sheets.workbook import workbook
from assistant.sheets.workbook_tables import OF_MONEY, SHEETS, Sheet, table, tables


def send_workbook(shop: Shop, request: SendWorkbook, asked: Asked) -> Outcome:
    """Send the workbook, of all boxes or those of one year."""
    year, profile = request.year, profile_of(shop)
    if refusal := _without_boxes(shop, year, asked):
        return refusal
    found = tables(shop, asked.today, money=asked.money, year=year)
    paper = paper_of(profile.country)
    content = workbook(found, asked.today, paper, f"{profile.name}: {say.title(year).lower()}")
    name = say.file_name(profile.name, "workbook", year, asked.today, "xlsx")
    lines = (say.holds(found), say.SEND_IT_BACK, say.ITS_SHIP_DATE)
    buttons = (_as_csv("items", year), _as_csv("year", year))
    return _sent(name, content, say.title(year), lines, buttons, asked)


def send_sheet(shop: Shop, request: SendSheet, asked: Asked) -> Outcome:
    """Send one sheet as CSV."""
    sheet, year = request.sheet, request.year
    if sheet in OF_MONEY and not asked.money:
        alone = may_see_money(shop, asked.person)
        refused = crew.no_money_here if alone else crew.no_money
        return answer(asked, refused(say.WHAT[sheet]), (_as_csv("items", year),))
    if refusal := _without_boxes(shop, year, asked):
        return refusal
    found = table(shop, sheet, asked.today, money=asked.money, year=year)
    whole = Button("The workbook", says.workbook(year))
    if not found.rows:
        return answer(asked, (say.nothing_in(sheet),), (whole,))
    name = say.file_name(profile_of(shop).name, sheet, year, asked.today, "csv")
    back = say.SEND_CSV_BACK if sheet in ("year", "items") else say.FOR_READING
    others = (_as_csv(one, year) for one in SHEETS[:2] if one != sheet)
    title, lines = say.csv_title(sheet, year), (say.holds((found,)), back)
    return _sent(name, csv_out(found), title, lines, (whole, *others), asked)


def _as_csv(sheet: Sheet, year: int | None) -> Button:
    return Button(f"{sheet.capitalize()} as CSV", says.csv(sheet, year))


def _without_boxes(shop: Shop, year: int | None, asked: Asked) -> Outcome | None:
    """Refuse where there is nothing to write."""
    if not shop.boxes:
        return answer(asked, (say.NO_PLAN,))
    years = sorted({int(box.id[:4]) for box in shop.boxes})
    if year is None or year in years:
        return None
    buttons = (Button(str(one), says.workbook(one)) for one in years[-4:])
    return answer(asked, (say.no_boxes(year, years),), buttons)


def _sent(
    name: str,
    content: bytes,
    title: str,
    lines: Iterable[str],
    buttons: Iterable[Button],
    asked: Asked,
) -> Outcome:
    file = File(f"{asked.moment.ref}/workbook", name, content)
    reply = Reply(
        title=title,
        text="\n".join(lines),
        buttons=in_rows(buttons),
        document=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


HANDLERS: dict[type, Handler] = {SendWorkbook: send_workbook, SendSheet: send_sheet}
WRITES: frozenset[type] = frozenset()
