"""The way in: a message is durable before its channel is told so.

Knows: that a message belongs in lane "in" under its shop, once. Must not know: channels, stores.
"""

from collections.abc import Callable

from assistant.flow.messages import IN, Incoming, Unreached, encode
from assistant.flow.ports import Mailbox, Take


def gateway(mailbox: Mailbox, shop_of: Callable[[str], str]) -> Take:
    """Return the `take` of every channel. `shop_of` says to which shop a chat belongs."""

    async def take(body: Incoming | Unreached) -> bool:
        if isinstance(body, Incoming):
            chat, once = body.heard.chat, body.heard.id
        else:
            chat, once = body.chat, ""
        async with mailbox.begin() as tx:
            return await mailbox.put(tx, IN, shop_of(chat), encode(body), once=once)

    return take
