"""Who is heard, through the whole application. Everyone is invented."""

from pathlib import Path

from assistant.conversation.replies.doors import GROUP_REFUSAL, REFUSAL
from assistant.planning.model import Person
from tests.edges.bot_api import GROUP, ROWAN, WREN, BotApi
from tests.edges.inbox import in_loop
from tests.telegram.rig import Bot, at_work, code_in, labels, let_in, pair, whole

STRANGER = 1003


@in_loop
async def test_the_code_shown_on_the_machine_makes_an_owner_once(tmp_path: Path) -> None:
    async with BotApi() as api:
        async with at_work(tmp_path, api) as bot:
            code = code_in(bot.printed[0])
            assert await bot.says("hello") == REFUSAL
            assert await bot.says(f" {code.lower()} ") == (
                "You are in, Wren Ashby, as an owner.\nFor a start: hello"
            )
            assert "not a code I know" in await bot.says(code, ROWAN)
            people = (await bot.shop()).people
            assert [(one.chat, one.role) for one in people] == [(f"telegram:{WREN}", "owner")]
        async with at_work(tmp_path, api) as bot:
            assert bot.printed == []
            assert "Wren Ashby" in await bot.says("hello")


@in_loop
async def test_a_code_that_was_not_used_is_replaced_at_the_next_start(tmp_path: Path) -> None:
    async with BotApi() as api:
        async with at_work(tmp_path, api) as bot:
            first = code_in(bot.printed[0])
        async with at_work(tmp_path, api) as bot:
            assert "not a code I know" in await bot.says(first)
            await pair(bot)


@in_loop
async def test_a_stranger_is_refused_once_and_nothing_of_his_is_taken(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says("March theme rain and roots")
        before = bot.api.calls.count("getFile")
        assert await bot.says("what is due", STRANGER) == REFUSAL
        await bot.api.photo(STRANGER, b"a picture", "look at this")
        await bot.api.document(STRANGER, b"month,theme", "2027.csv")
        await bot.api.press_data(STRANGER, "undo")
        await bot.api.say(STRANGER, "Idea: lantern walk")
        await bot.api.edit(STRANGER, 11, "Idea: beeswax wrap")
        assert await bot.answers() == []
        assert bot.api.calls.count("getFile") == before
        shop = await bot.shop()
        assert shop.ideas == ()
        assert shop.drafts == ()
        assert [one.chat for one in shop.people] == [f"telegram:{WREN}"]


@in_loop
async def test_wrong_codes_end_in_silence_for_a_day(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        right = code_in(await bot.says("let a helper in"))
        wrong = "AAAA-BBBB-CCCC"
        for _ in range(5):
            assert "not a code I know" in await bot.says(wrong, STRANGER)
        for code in wrong, right:
            await bot.api.say(STRANGER, code)
            assert await bot.answers() == []


@in_loop
async def test_a_helper_is_let_in_by_a_code_and_sent_away(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        code = code_in(await bot.says("let a helper in"))
        await bot.api.say(ROWAN, code)
        greeting, told = await bot.answers()
        assert (greeting.chat, told.chat) == (ROWAN, WREN)
        assert greeting.text.startswith("You are in, Rowan Teasel, as a helper.")
        assert told.text == "Rowan Teasel came in with a code, as a helper."
        assert "Kept as an idea" in await bot.says("Idea: oat biscuits", ROWAN)
        assert "oat biscuits" in await bot.says("ideas")
        assert "Only an owner can" in await bot.says("let a helper in", ROWAN)
        assert "is out" in await bot.says("send Rowan Teasel away")
        await bot.api.say(ROWAN, "ideas")
        assert all("oat" not in sent.text for sent in await bot.answers())


@in_loop
async def test_a_code_of_hers_ends_after_a_day(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        code = code_in(await bot.says("let a helper in"))
        await bot.waits(hours=24)
        assert "not a code I know" in await bot.says(code, ROWAN)


@in_loop
async def test_a_group_works_once_its_owner_lets_it_in(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        assert await bot.says("what is due", GROUP, sender=ROWAN) == GROUP_REFUSAL
        await bot.api.say(GROUP, "Idea: lantern walk", sender=ROWAN)
        assert await bot.answers() == []
        await bot.api.say(GROUP, "hello", sender=WREN)
        assert labels(await bot.answer()) == ["Let this group in"]
        await bot.api.press(GROUP, "Let this group in", sender=ROWAN)
        assert await bot.answers() == []
        await bot.api.press(GROUP, "Let this group in", sender=WREN)
        assert (await bot.answer()).text.startswith('"Mossgate packing table" is let in.')
        said = await bot.says("@mossgate_bot Idea: lantern walk", GROUP, sender=ROWAN)
        assert said == "Kept as an idea: lantern walk."
        undone = await bot.says("undo", GROUP, sender=ROWAN)
        assert undone.startswith("Taken back: ")
        assert [person.name for person in (await bot.shop()).people] == ["Wren Ashby"]
        assert await bot.says("hello", ROWAN) == REFUSAL  # alone, he was not let in


@in_loop
async def test_a_group_is_let_in_by_a_code(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        code = code_in(await bot.says("let the group in"))
        assert "is let in" in await bot.says(code, GROUP, sender=ROWAN)


@in_loop
async def test_a_code_asked_for_in_a_group_goes_to_its_owner_alone(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says("let this group in", GROUP, sender=WREN)
        await bot.api.say(GROUP, "let a helper in", sender=WREN)
        sent = {one.chat: one.text for one in await bot.answers()}
        assert code_in(sent[WREN])
        assert "-" not in sent[GROUP]


@in_loop
async def test_a_group_that_became_a_supergroup_is_still_let_in(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says("let this group in", GROUP, sender=WREN)
        await bot.api.say(GROUP, sender=WREN, migrate_to_chat_id=GROUP - 1)
        await bot.api.say(GROUP - 1, "Idea: lantern walk", sender=ROWAN)
        kept = await bot.answer()
        assert (kept.chat, kept.text) == (GROUP - 1, "Kept as an idea: lantern walk.")


@in_loop
async def test_who_blocks_the_bot_is_told_of_and_comes_back_by_writing(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await let_in(bot, ROWAN)
        await bot.api.leave(ROWAN)
        told = await bot.answer()
        assert (told.chat, "can no longer write to Rowan Teasel" in told.text) == (WREN, True)
        assert not (await _rowan(bot)).reachable
        await bot.says("hello", ROWAN)
        assert (await _rowan(bot)).reachable


async def _rowan(bot: Bot) -> Person:
    [rowan] = [one for one in (await bot.shop()).people if one.chat == f"telegram:{ROWAN}"]
    return rowan
