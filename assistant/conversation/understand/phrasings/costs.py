"""Ways to speak of costs, postage and rates."""

from assistant.conversation.understand.reading import Kind, Phrasing

KINDS: dict[str, Kind] = {}
EXACT: tuple[Phrasing, ...] = ()
TABLE: tuple[Phrasing, ...] = ()
HALVES: tuple[Phrasing, ...] = ()
