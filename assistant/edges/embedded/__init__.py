"""State and queue of one machine in one SQLite file.

Knows: SQLite and TinyDB. Must not know: channels, conversation. `Database` owns the data folder;
`Shelf`, `Mailbox` and `Keep` are the ports of flow over it.
"""

from assistant.edges.embedded.database import (
    Database,
    InUse,
    NewerFormat,
    NotOurs,
    Refused,
    Transaction,
)
from assistant.edges.embedded.mailbox import Keep, Mailbox
from assistant.edges.embedded.shelf import Shelf

__all__ = [
    "Database",
    "InUse",
    "Keep",
    "Mailbox",
    "NewerFormat",
    "NotOurs",
    "Refused",
    "Shelf",
    "Transaction",
]
