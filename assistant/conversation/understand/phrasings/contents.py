"""Ways to say what belongs to contents."""

from assistant.conversation.understand.reading import Kind, Phrasing

KINDS: dict[str, Kind] = {}
TABLE: tuple[Phrasing, ...] = ()
HALVES: tuple[Phrasing, ...] = ()
