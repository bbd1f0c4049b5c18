"""Replies on their way: each chat in its own order, none held up by another. All invented."""

import asyncio

from assistant.flow.messages import OUT, Outgoing, encode
from assistant.flow.ports import Later, Unreachable
from tests.flow.rig import ROWAN, WREN, Rig, story


@story()
async def test_a_failing_chat_delays_no_other_and_keeps_its_order(rig: Rig) -> None:
    rig.channel.faults[WREN].extend([ValueError("a bad gateway"), Later(60)])
    await rig.say("Idea: first", WREN)
    await rig.say("Idea: second", WREN)
    await rig.say("Idea: third", ROWAN)
    assert rig.told(WREN) == []
    assert rig.told(ROWAN) == ["Kept as an idea: third."]
    await rig.wait(seconds=2)
    assert rig.told(WREN) == []
    await rig.wait(seconds=60)
    assert rig.told(WREN) == ["Kept as an idea: first.", "Kept as an idea: second."]


@story()
async def test_a_slow_chat_delays_no_other(rig: Rig) -> None:
    rig.channel.hung[WREN] = asyncio.Event()
    assert await rig.take(rig.incoming("Idea: first", WREN))
    assert await rig.take(rig.incoming("Idea: second", ROWAN))
    while not rig.told(ROWAN):
        await asyncio.sleep(0)
    assert rig.told(WREN) == []
    rig.channel.hung[WREN].set()
    await rig.settle()
    assert rig.told(WREN) == ["Kept as an idea: first."]


@story()
async def test_who_cannot_be_reached_is_noted_and_the_owner_is_told(rig: Rig) -> None:
    rig.channel.faults[ROWAN].append(Unreachable())
    await rig.say("Idea: lantern walk", ROWAN)
    assert [one.reachable for one in rig.shop.people] == [True, False]
    [told] = rig.told(WREN)
    assert "Rowan" in told
    await rig.say("hello", ROWAN)
    assert [one.reachable for one in rig.shop.people] == [True, True]
    assert len(rig.told(ROWAN)) == 1


@story()
async def test_a_reply_to_a_channel_that_is_not_running_waits(rig: Rig) -> None:
    await rig.mailbox_put("elsewhere:wren", "later")
    await rig.say("hello")
    assert len(rig.told(WREN)) == 1
    assert await rig.mailbox.dead(OUT) == ()
    rig.sender._channels = {"pretend": rig.channel, "elsewhere": rig.channel}
    await rig.wait(minutes=6)
    assert rig.told("elsewhere:wren") == ["later"]


@story()
async def test_nobody_waits_for_what_cannot_be_written(rig: Rig) -> None:
    await rig.say("hello")
    rig.channel.hung[WREN] = asyncio.Event()
    assert await rig.take(rig.incoming("Idea: lantern walk"))
    while not any(lane == OUT for lane, _ in rig.mailbox._busy):
        await asyncio.sleep(0)
    rig.memory.full = "jobs"
    rig.channel.hung[WREN].set()
    await rig.settle()
    assert len(rig.told(WREN)) == 2
    rig.memory.full = ""
    rig.mailbox.wake()
    await rig.say("Idea: beeswax wrap")
    await rig.wait(seconds=6)
    assert [text.split(": ")[0] for text in rig.told(WREN)[1:]] == ["Kept as an idea"] * 2


@story()
async def test_a_disk_that_fills_up_after_sending_sends_nothing_twice(rig: Rig) -> None:
    await rig.say("hello")
    rig.channel.hung[WREN] = asyncio.Event()
    assert await rig.take(rig.incoming("Idea: lantern walk"))
    while not rig.shop.ideas:
        await asyncio.sleep(0)
    while not any(lane == OUT for lane, _ in rig.mailbox._busy):
        await asyncio.sleep(0)
    rig.memory.full = "once"  # written to when a job with a name is done
    rig.channel.hung[WREN].set()
    await rig.settle()
    rig.memory.full = ""
    await rig.wait(seconds=6)
    assert rig.told(WREN)[1:] == ["Kept as an idea: lantern walk."]


def test_a_reply_is_written_down_whole() -> None:
    from assistant.conversation.messages import Button, Reply
    from assistant.flow.messages import decode_outward

    reply = Reply(text="é\u202e\x00", title="t", buttons=((Button("a", "b"),),), photo="p")
    out = Outgoing(shop="moss", chat=WREN, reply=reply, last=True)
    assert decode_outward(encode(out)) == out
