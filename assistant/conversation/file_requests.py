"""What a person can mean about files to take away: as records, like requests.py.

Invariants: those of requests.py.
"""

from assistant.planning.model import Record
from assistant.sheets.workbook_tables import Sheet

# --- backups --------------------------------------------------------------------------------


class BackUp(Record):
    """Make a backup of the shop and send it."""


class LastBackup(Record):
    """When the newest backup was made, and how they are made."""


class HowToRestore(Record):
    """How to go back to a backup."""


# --- the calendar ---------------------------------------------------------------------------


class SendCalendar(Record):
    """The calendar as a file, whole or of one box (Box.id)."""

    box: str = ""


class ShareCalendar(Record):
    """An address at which her calendar can be subscribed to."""


class WithdrawCalendar(Record):
    """No address of the calendar works any more."""


# --- the workbook ---------------------------------------------------------------------------


class SendWorkbook(Record):
    """The plan as a workbook, all of it or the boxes of one year."""

    year: int | None = None


class SendSheet(Record):
    """One sheet of the workbook as CSV."""

    sheet: Sheet
    year: int | None = None


# --- the web page ---------------------------------------------------------------------------


class SendPage(Record):
    """The year as a web page; unasked the one that a year sheet shows."""

    year: int | None = None


FileRequest = (
    BackUp
    | LastBackup
    | HowToRestore
    | SendCalendar
    | ShareCalendar
    | WithdrawCalendar
    | SendWorkbook
    | SendSheet
    | SendPage
)
