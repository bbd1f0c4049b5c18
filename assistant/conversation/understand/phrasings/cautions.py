"""Ways to speak of goods that carry duties."""

from assistant.conversation.understand.reading import Kind, Phrasing

KINDS: dict[str, Kind] = {}
EXACT: tuple[Phrasing, ...] = ()
TABLE: tuple[Phrasing, ...] = ()
HALVES: tuple[Phrasing, ...] = ()
