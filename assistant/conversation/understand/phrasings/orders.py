"""Ways to speak of purchase orders."""

from assistant.conversation.understand.reading import Kind, Phrasing

KINDS: dict[str, Kind] = {}
EXACT: tuple[Phrasing, ...] = ()
TABLE: tuple[Phrasing, ...] = ()
HALVES: tuple[Phrasing, ...] = ()
