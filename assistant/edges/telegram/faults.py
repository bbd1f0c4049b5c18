"""What goes wrong with Telegram, and what follows from it.

Knows: the library's exceptions. Must not know: what was being sent or received.
Invariants: a dropped network never uses up a try; no text of an exception here holds the token.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta

from telegram.error import (
    BadRequest,
    ChatMigrated,
    Forbidden,
    RetryAfter,
    TelegramError,
)

from assistant.flow.ports import Later, Unreachable

WAIT = 5.0  # seconds until a request that had no answer is made again
LONGEST = 60.0  # seconds, the longest pause between attempts to receive

# What the Bot API answers, with status 400, when a chat takes no messages: parts of its texts, in
# lower case. From memory: the Bot API does not publish its error texts.
CLOSED = (
    "chat not found",
    "user not found",
    "group chat was deactivated",
    "have no rights to send a message",
    "not enough rights to send text messages",
    "chat_write_forbidden",
    "peer_id_invalid",
)

# Its answer to a change that changes nothing, in lower case; from memory likewise.
UNCHANGED = "message is not modified"


class CannotStart(Exception):
    """The channel cannot be opened as it is set up; the text is for the person who set it up."""


class Refused(Exception):
    """Telegram will not take this message, however often it is sent."""


def pauses() -> Iterator[float]:
    """Give ever longer pauses without end, in seconds: 1, 2, 4 and so on to LONGEST."""
    pause = 1.0
    while True:
        yield pause
        pause = min(2 * pause, LONGEST)


def asked_wait(error: RetryAfter) -> float:
    """Return the seconds that Telegram asks to be left alone (source: Bot API, "Making requests":
    ResponseParameters.retry_after)."""
    wait = error.retry_after
    return wait.total_seconds() if isinstance(wait, timedelta) else float(wait)


@contextmanager
def delivery() -> Iterator[None]:
    """Turn what the library raises while sending into what flow understands.

    Raises Later, Unreachable or Refused. ChatMigrated passes: it is not a fault.
    """
    try:
        yield
    except ChatMigrated:
        raise
    except RetryAfter as error:
        raise Later(asked_wait(error)) from None
    except Forbidden:
        raise Unreachable from None
    except BadRequest as error:
        if any(text in error.message.lower() for text in CLOSED):
            raise Unreachable from None
        raise Refused(error.message) from None
    except TelegramError:
        # No answer, a server in trouble, or a token that was withdrawn: the last ends `run` with
        # a clear word, and what was to be sent waits until there is a good one.
        raise Later(WAIT) from None
