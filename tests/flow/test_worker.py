"""One message, one commit: what a message changes, says and is done with stands or falls together.

All people and goods are invented.
"""

import asyncio
import logging
import threading
from typing import Any
from unittest import mock

import pytest
from msgspec.structs import replace

from assistant.conversation.converse import converse
from assistant.conversation.messages import File, Outcome
from assistant.flow import worker
from assistant.flow.messages import OUT
from assistant.flow.ports import Later, NoRoom
from assistant.planning.model import Idea, Shop
from tests.flow.rig import LIMIT, MONDAY, ROWAN, WREN, Rig, story

MARCH = "2027-03 Rain and roots: notebook@Aldermoor 450 x 3.10, lead 20d"
ALDERMOOR = "Aldermoor"
PHOTO = b"\xff\xd8\xff a picture"


def ideas(shop: Shop) -> list[str]:
    return [idea.text for idea in shop.ideas]


@story()
async def test_a_message_is_one_commit(rig: Rig) -> None:
    before = rig.shop.version
    await rig.say("Idea: lantern walk for November")
    assert ideas(rig.shop) == ["lantern walk"]
    assert [(entry.number, entry.by) for entry in rig.shop.recent] == [(before + 1, "wren")]
    assert rig.told(WREN) == ["Kept for November: lantern walk."]
    # Taken in, taken in hand, DONE IN ONE, the reply taken in hand, the reply settled.
    assert rig.memory.commits == 5


@story()
async def test_what_fails_on_the_way_leaves_nothing_behind(rig: Rig) -> None:
    puts = rig.mailbox.put

    async def failing(tx: object, lane: str, *args: object, **how: object) -> bool:
        if lane == OUT:
            raise ValueError("no reply can be put")
        return await puts(tx, lane, *args, **how)  # type: ignore[arg-type]

    rig.mailbox.put = failing  # type: ignore[assignment]
    before = rig.shop
    await rig.say("Idea: lantern walk")
    assert rig.shop == before
    assert rig.told(WREN) == []
    rig.mailbox.put = puts  # type: ignore[method-assign]
    await rig.wait(seconds=2)
    assert ideas(rig.shop) == ["lantern walk"]
    assert len(rig.told(WREN)) == 1


@story()
async def test_a_message_that_comes_again_changes_nothing(rig: Rig) -> None:
    message = rig.incoming("Idea: lantern walk")
    assert await rig.take(message)
    assert not await rig.take(message)
    await rig.settle()
    after = rig.shop
    assert not await rig.take(message)
    await rig.settle()
    assert rig.shop == after
    assert ideas(after) == ["lantern walk"]
    assert len(rig.told(WREN)) == 1


@story()
async def test_a_shop_changed_by_another_worker_meanwhile_is_loaded_anew(rig: Rig) -> None:
    await rig.say("hello")
    other = Idea(id="other", text="beeswax wrap", at=MONDAY)

    def interfere() -> str:
        """Called between looking at the shop and saving it."""
        rig.token = lambda: "token"
        changed = replace(rig.shop, version=rig.shop.version + 1, ideas=(other,))
        rig.memory.tables["shops"] = {rig.id: changed}
        return "token"

    rig.token = interfere
    await rig.say("Idea: lantern walk")
    assert ideas(rig.shop) == ["beeswax wrap", "lantern walk"]
    assert len(rig.told(WREN)) == 2
    await rig.say("undo")
    assert ideas(rig.shop) == ["beeswax wrap"]


@story(MARCH, ALDERMOOR)
async def test_a_new_country_brings_its_holidays_in_the_same_commit(rig: Rig) -> None:
    before = rig.shop
    assert not any(almanac.id.startswith("DE") for almanac in before.almanac)
    await rig.say("add to March: pencil from Tannwald, 2.10, 10 working days, made in Germany")
    assert rig.shop.version == before.version + 1
    german = [almanac for almanac in rig.shop.almanac if almanac.id.startswith("DE")]
    # German Unity Day, Einigungsvertrag Art. 2(2): 3 October is a public holiday.
    off = {str(day) for almanac in german for day, _ in almanac.off}
    assert {"2027-10-03", "2028-10-03"} & off
    [entry] = rig.shop.recent
    assert not any("almanac" in str(type(change)) for change in entry.inverse)
    await rig.say("undo")
    assert not [item for item in rig.shop.items if item.name == "pencil"]


@story()
async def test_a_full_disk_is_told_once_and_work_goes_on_when_there_is_room(rig: Rig) -> None:
    await rig.say("hello")
    before = rig.shop
    rig.memory.full = "shops"
    await rig.say("Idea: lantern walk")
    assert rig.shop == before
    for _ in range(3):
        await rig.wait(seconds=6)
    [told] = [text for text in rig.told(WREN) if "disk is full" in text]
    assert "not lost" in told
    rig.memory.full = ""
    await rig.wait(seconds=6)
    assert ideas(rig.shop) == ["lantern walk"]
    assert rig.told(WREN)[-1] == "Kept as an idea: lantern walk."


@story()
async def test_what_cannot_be_kept_is_not_taken(rig: Rig) -> None:
    message = rig.incoming("Idea: lantern walk")
    rig.memory.full = "jobs"
    for _ in range(3):  # as a channel does that must not lose it
        with pytest.raises(NoRoom):
            await rig.take(message)
    with pytest.raises(NoRoom):
        await rig.take(rig.incoming("let me in", "pretend:stranger"))
    rig.memory.full = ""
    await rig.settle()
    [told] = rig.told(WREN)
    assert "disk is full" in told
    assert rig.told("pretend:stranger") == []
    assert ideas(rig.shop) == []
    assert await rig.take(message)
    await rig.settle()
    assert ideas(rig.shop) == ["lantern walk"]


@story()
async def test_a_picture_that_cannot_be_fetched_yet_is_waited_for(rig: Rig) -> None:
    rig.channel.contents["ref"] = [Later(30), PHOTO]
    await rig.say("lantern walk", photo_ref="ref")
    await rig.say("Idea: beeswax wrap")
    assert ideas(rig.shop) == []  # order is kept: the later one waits
    await rig.wait(seconds=30)
    assert ideas(rig.shop) == ["lantern walk", "beeswax wrap"]
    [idea, _] = rig.shop.ideas
    assert await rig.shelf.file(rig.id, idea.photo) == File(idea.photo, "photo.jpg", PHOTO)


@story()
async def test_a_picture_that_is_gone_leaves_its_words(rig: Rig) -> None:
    rig.channel.contents["ref"] = [None]
    await rig.say("lantern walk", photo_ref="ref")
    [idea] = rig.shop.ideas
    assert (idea.text, idea.photo) == ("lantern walk", "")
    [told] = rig.told(WREN)
    assert "picture" in told


@story(MARCH, ALDERMOOR)
async def test_a_file_is_read_and_asks_before_it_changes_anything(rig: Rig) -> None:
    sheet = b"month,theme\nMay,First swifts\nJune,Long light\n"
    rig.channel.contents["ref"] = [sheet]
    before = rig.shop.boxes
    await rig.say("", document_ref="ref", document_name="year.csv")
    assert rig.shop.boxes == before
    assert rig.shop.drafts
    await rig.say("bring it in")
    assert {box.theme for box in rig.shop.boxes} >= {"First swifts", "Long light"}


@story()
async def test_messages_of_a_shop_are_dealt_with_in_their_order(rig: Rig) -> None:
    for number in range(20):
        assert await rig.take(rig.incoming(f"Idea: number {number}", (WREN, ROWAN)[number % 2]))
    await rig.settle()
    assert ideas(rig.shop) == [f"number {number}" for number in range(20)]
    versions = [entry.number for entry in rig.shop.recent]
    assert versions == sorted(set(versions))


@story()
async def test_logs_hold_no_words_of_a_message(rig: Rig) -> None:
    lines: list[str] = []
    handler = logging.Handler()
    handler.emit = lambda record: lines.append(record.getMessage())  # type: ignore[method-assign]
    root = logging.getLogger("assistant")
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    try:
        await rig.say("Idea: lantern walk")
        await rig.say("who is in")
    finally:
        root.removeHandler(handler)
        root.setLevel(logging.NOTSET)
    assert any("Incoming" in line for line in lines)
    assert not any(word in line for word in ("lantern", "Wren", "token") for line in lines)


@story()
async def test_slow_work_does_not_hold_up_the_event_loop(rig: Rig) -> None:
    begun, go_on = threading.Event(), threading.Event()

    def slowly(*asked: Any) -> Outcome:
        begun.set()
        assert go_on.wait(LIMIT)  # only the loop, still turning, can let it go on
        return converse(*asked)

    with mock.patch.object(worker, "converse", slowly):
        said = asyncio.create_task(rig.say("Idea: lantern walk"))
        while not begun.is_set():
            await asyncio.sleep(0)
        assert rig.told(WREN) == []
        go_on.set()
        await said
    assert rig.told(WREN) == ["Kept as an idea: lantern walk."]
