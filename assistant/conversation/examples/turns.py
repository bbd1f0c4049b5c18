"""What a sample conversation is made of."""

from datetime import UTC, datetime

from assistant.planning.model import Record

START = datetime(2027, 1, 11, 9, 0, tzinfo=UTC)  # a Monday


class Turn(Record):
    """One thing said, and pieces of what is heard back, in their order.

    `file` and `content` are a file sent with it. A turn that only has a time `at` lets the clock
    go on to that morning, and `hears` what comes of itself.
    """

    says: str = ""
    hears: tuple[str, ...] = ()
    file: str = ""
    content: str = ""
    at: datetime | None = None


class Example(Record):
    """One conversation. `topic` is what `help` calls it; `help_with` are the turns (by number,
    from 0) whose words stand in the help on that topic."""

    topic: str
    title: str
    turns: tuple[Turn, ...]
    help_with: tuple[int, ...]
