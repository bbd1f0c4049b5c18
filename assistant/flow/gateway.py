"""The way in: a message is durable before its channel is told so.

Knows: that a message belongs in lane "in" under its shop, once. Must not know: channels, stores.
"""

from collections.abc import Awaitable, Callable

from assistant.conversation.messages import Heard
from assistant.flow.messages import IN, Incoming, Unreached, encode
from assistant.flow.ports import Mailbox, NoRoom, Take

NoRoomFor = Callable[[str, Heard], Awaitable[None]]


async def in_silence(shop: str, heard: Heard) -> None:
    """Tell nobody: for channels that say themselves that a message could not be kept."""


def gateway(
    mailbox: Mailbox, shop_of: Callable[[str], str], no_room: NoRoomFor = in_silence
) -> Take:
    """Return the `take` of every channel. `shop_of` says to which shop a chat belongs; `no_room`
    is awaited before the NoRoom of a message reaches the channel."""

    async def take(body: Incoming | Unreached) -> bool:
        if isinstance(body, Unreached):
            return await keep(body, body.chat, "")
        try:
            return await keep(body, body.heard.chat, body.heard.id)
        except NoRoom:
            await no_room(shop_of(body.heard.chat), body.heard)
            raise

    async def keep(body: Incoming | Unreached, chat: str, once: str) -> bool:
        async with mailbox.begin() as tx:
            return await mailbox.put(tx, IN, shop_of(chat), encode(body), once=once)

    return take
