"""Ways to ask for a backup, for when the last was made, and how to go back to one.

Knows: the requests of backups. Must not know: how a line is matched, how a backup is made.
Invariants: the sentences of buttons (EXACT) stand before all others; each example is understood as
its row.
"""

from collections.abc import Callable

from assistant.conversation.file_requests import BackUp, HowToRestore, LastBackup
from assistant.conversation.sentences import backup as says
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Built, Kind, Phrasing

KINDS: dict[str, Kind] = {}

# Words that stand in many of these patterns, longer ones first.
_WORDS = {
    "<please>": "[please |can you |could you |would you |can i have |i want |i need |i'd like ]",
    "<make>": "(make|do|take|write|create|run|save|export)",
    "<restore>": "(restore|recover|go back to|get back to|load|use|bring back|put back|read back)",
    "<get-it-all>": "(restore|recover|get it all back|get everything back|get my data back|check)",
    "<everything>": "(everything|all my data|all the data|all of my data|the whole shop|it all"
    "|all of it)",
    "<a-backup>": "[from ][a |an |the |my |our ][last |old |older |yesterday's ]<backup>",
    "<the-last>": "[the |my |our |a ][last |latest |newest ]<backup>",
    "<backup>": "(backup|back up|back-up|backup copy|back up copy|safety copy)",
    "<a>": "[a |an |the |my |our |another |new |a new |the latest ]",
    "<how>": "how (do|can|would|could|should|to) [i |we |you |one ]",
    "<it-all>": "[ of| for][ everything| it all| it| all| all of it| all my data| my data| the data"
    "| the shop| my shop| our shop| this| the plan| my plan| the year| things][ now| today| again]",
}


def _asking(request: BackUp | LastBackup | HowToRestore) -> Callable[[Context], Built]:
    return lambda _c: request


def _row(name: str, says: str, request: BackUp | LastBackup | HowToRestore, like: str) -> Phrasing:
    for short, long in _WORDS.items():
        says = says.replace(short, long)
    return Phrasing(name, says, _asking(request), "a backup", like, asks=True)


EXACT: tuple[Phrasing, ...] = (
    _row("backup, exact", says.back_up(), BackUp(), "back up"),
    _row("last backup, exact", says.last_backup(), LastBackup(), "when was the last backup"),
    _row("restore, exact", says.how_to_restore(), HowToRestore(), "how do I restore a backup"),
)
TABLE: tuple[Phrasing, ...] = (
    _row(
        "last backup",
        """
        (when|on what day|what day|which day) (was|is|were|did) <the-last>[s][ made| done| taken]
        (when|what day) did (you|we|i) [last |do |make ]<the-last>[ last| last time]
        [show |show me |tell me ][the |my |our ](last|latest|newest|most recent) <backup>
        (how old|how recent|how fresh) is <the-last>
        (is|are|do) (there|we|i|you) [have ](a|any) [recent |fresh |current ]<backup>[s]
        (are|is) (everything|we|it|it all|all|the plan|the shop) backed up[ now]
        [how often |when ](do|are|will) (you|we|i) (make|making|do|doing|take) [a ]<backup>[s]
        [show |show me |list |list the |list my ][the |my |our ]backups
        where are [the |my |our ]backups[ kept]
        """,
        LastBackup(),
        "when was the last backup",
    ),
    _row(
        "restore",
        """
        <how><restore> <a-backup>
        <how><get-it-all>[ it| everything| my data| the shop][ <a-backup>]
        <how>check <a-backup>
        [i want to |can i |please ]<restore> <a-backup>
        how does [a |the ](restore|restoring|backup) work
        (restore|restoring)
        """,
        HowToRestore(),
        "how do I restore a backup",
    ),
    _row(
        "backup",
        """
        <please><a><backup><it-all>
        <please>back (it|it all|everything|this|all of it) up[ now| again]
        <please><make> [me ]<a><backup><it-all>
        <please>(send|give|mail|show|hand) [me |us ]<a><backup>[ file| copy]<it-all>
        <please>(send|give) [me |us ]<everything>
        <please>(export|download|save) <everything>
        <a><backup>[ file]
        """,
        BackUp(),
        "back up",
    ),
)
HALVES: tuple[Phrasing, ...] = ()
