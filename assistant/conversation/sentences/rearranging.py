"""What the buttons of rearranging and of versions say; invariants as in the package.

A sentence that ends in "now" is done at once: what it does was shown. Items of many boxes are named
by short references, so that the sentence stays short whatever they are called and wherever they
moved meanwhile; suppliers and versions stand in quotes, so that no word of a name is taken for
another.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from zlib import crc32

from assistant.conversation.replies.plain import MONTHS
from assistant.conversation.sentences import one_line


def now(says: str) -> str:
    """Do what a sentence says, without showing first what it does."""
    return f"{says} now"


def leave_as_it_is() -> str:
    """Leave the plan as it is."""
    return "leave it as it is"


def item_ref(item_id: str) -> str:
    """A short, stable name for an item: eight hex digits."""
    return f"{crc32(item_id.encode()):08x}"


def or_months(months: Sequence[int]) -> str:
    """Name months to choose from: "June or July", "September-November" for more that follow each
    other."""
    names = [MONTHS[month - 1] for month in months]
    steps = {(b - a) % 12 for a, b in pairwise(months)}
    if len(names) > 2 and steps == {1}:
        return f"{names[0]}-{names[-1]}"
    *first, last = names
    return f"{', '.join(first)} or {last}" if first else last


def move_items(items: Iterable[str], months: Sequence[int]) -> str:
    """Move items (ids) to the best boxes of some months."""
    return f"move items {' '.join(map(item_ref, items))} to {or_months(months)}"


def drop_supplier(name: str) -> str:
    """Take all that a supplier sells out of the plan."""
    return f"drop everything from {quoted(name)}"


def keep_version(name: str) -> str:
    """Keep the year as it stands under a name."""
    return f"keep this year as {quoted(name)}"


def versions() -> str:
    """Ask for the versions that were kept."""
    return "versions"


def compare(name: str) -> str:
    """Ask how a version differs from the year."""
    return f"compare with version {quoted(name)}"


def adopt(name: str) -> str:
    """Make a version the year plan."""
    return f"adopt version {quoted(name)}"


def forget(name: str) -> str:
    """Forget a version."""
    return f"forget version {quoted(name)}"


def quoted(name: str) -> str:
    """A name in quotes, as a sentence carries it."""
    return f'"{one_line(name).replace(chr(34), chr(39))}"'
