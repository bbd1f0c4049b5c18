"""Text as Telegram counts it.

Knows: that lengths are UTF-16 code units. Must not know: messages, the network.
Invariants: nothing here ends inside a surrogate pair; a line that fits into one message is never
broken.
"""

ELLIPSIS = "…"


def clean(text: str) -> str:
    """Return the text with half surrogate pairs, which no one can store or send, replaced by ?."""
    return text.encode("utf-8", "replace").decode("utf-8")


def units(text: str) -> int:
    """Return the length in UTF-16 code units (source: Bot API, "MessageEntity")."""
    return len(text.encode("utf-16-le")) // 2


def head(text: str, limit: int) -> str:
    """Return the longest beginning of at most `limit` UTF-16 units."""
    return text.encode("utf-16-le")[: 2 * limit].decode("utf-16-le", "ignore")


def shorten(text: str, limit: int) -> str:
    """Return the text on one line, cut to `limit` units with an ellipsis when it is longer."""
    line = " ".join(text.split())
    return line if units(line) <= limit else head(line, limit - 1).rstrip() + ELLIPSIS


def split(text: str, limit: int, first: int = 0) -> tuple[str, ...]:
    """Cut the text into pieces of at most `limit` units, the first of at most `first`.

    Cuts fall on line ends; a line too long for one piece is cut at a space, and where it has none,
    anywhere. Pieces with nothing to be seen in them, which Telegram refuses, are left out.
    """
    pieces = []
    room = first or limit
    while units(text) > room:
        cut = _cut(text, len(head(text, room)))
        pieces.append(text[:cut])
        text = text[cut:].removeprefix("\n")
        room = limit
    pieces.append(text)
    return tuple(piece for piece in pieces if piece.strip())


def _cut(text: str, reach: int) -> int:
    for end in "\n ":
        cut = text.rfind(end, 1, reach + 1)
        if cut > 0:
            return cut
    return reach
