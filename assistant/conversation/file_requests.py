"""What a person can mean about files to take away: as records, like requests.py.

Invariants: those of requests.py.
"""

from assistant.planning.model import Record

# --- backups --------------------------------------------------------------------------------


class BackUp(Record):
    """Make a backup of the shop and send it."""


class LastBackup(Record):
    """When the newest backup was made, and how they are made."""


class HowToRestore(Record):
    """How to go back to a backup."""


FileRequest = BackUp | LastBackup | HowToRestore
