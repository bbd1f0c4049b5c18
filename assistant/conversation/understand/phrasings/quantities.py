"""Ways to speak of how many to order."""

from assistant.conversation.understand.reading import Kind, Phrasing

KINDS: dict[str, Kind] = {}
EXACT: tuple[Phrasing, ...] = ()
TABLE: tuple[Phrasing, ...] = ()
HALVES: tuple[Phrasing, ...] = ()
