"""Ways to speak of how likely a box is to be complete."""

from assistant.conversation.understand.reading import Kind, Phrasing

KINDS: dict[str, Kind] = {}
EXACT: tuple[Phrasing, ...] = ()
TABLE: tuple[Phrasing, ...] = ()
HALVES: tuple[Phrasing, ...] = ()
