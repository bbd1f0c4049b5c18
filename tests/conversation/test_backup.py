"""What is said of backups. Everything in these shops is invented."""

from datetime import timedelta

from msgspec.structs import replace

from assistant.conversation.handle.backup import backed_up
from assistant.conversation.messages import BackedUp, Moment, Outcome
from assistant.planning.changes import apply
from assistant.planning.model import Backup, Person, Place, Put
from tests.conversation.chat import MORNING, OWNER, Chat, empty

HELPER = Person(id="h", chat="telegram:2", name="Anna", money=True)
GROUP = "telegram:-5"


def after(chat: Chat, made: BackedUp) -> Outcome:
    outcome = backed_up(chat.shop, made, Moment(now=chat.now, ref="job/1"))
    chat.shop = apply(chat.shop, (*outcome.notes, *outcome.changes))
    return outcome


def made(**fields: object) -> BackedUp:
    whole = {
        "chat": OWNER,
        "at": MORNING,
        "name": "b.zip",
        "file": "backup/b.zip",
        "bytes": 1234567,
    }
    return BackedUp(**{**whole, **fields})  # type: ignore[arg-type]


def test_asking_has_one_made_for_whoever_asks() -> None:
    chat = Chat()
    assert "Making a backup of My shop" in chat.say("back up")
    assert (chat.outcome.backup, chat.outcome.changes) == (OWNER, ())


def test_asking_in_the_midst_of_other_things_has_one_made_too() -> None:
    chat = Chat()
    chat.say("March theme rain and roots\nback up\nIdea: lantern walk")
    assert chat.outcome.backup == OWNER
    assert [box.theme for box in chat.shop.boxes] == ["rain and roots"]


def test_a_helper_has_none_even_one_who_may_see_money() -> None:
    chat = Chat(apply(empty(), [Put(HELPER)]))
    assert "Only an owner can" in chat.say("back up", sender=HELPER.chat)
    assert chat.outcome.backup == ""
    chat.say("when was the last backup", sender=HELPER.chat)
    assert "Back up now" not in chat.buttons


def test_in_a_group_it_goes_to_the_owner_alone() -> None:
    chat = Chat(apply(empty(), [Put(Place(id=GROUP, name="packing")), Put(HELPER)]))
    said = chat.say("back up", chat=GROUP, group="packing")
    assert "to you alone" in said
    assert chat.outcome.backup == OWNER
    [reply] = after(chat, made()).replies
    assert (reply.to, reply.document) == (OWNER, "backup/b.zip")


def test_a_backup_comes_with_what_it_is_and_what_to_do_with_it() -> None:
    chat = Chat()
    [reply] = after(chat, made()).replies
    assert "as of Mon 11 Jan, 09:00: plan, history, pictures. 1.2 MB." in reply.text
    assert "somewhere else" in reply.text
    assert reply.document_name == "b.zip"
    [[how]] = reply.buttons
    assert "restore FILE --data NEWFOLDER" in chat.say(how.says)
    newest = chat.say("when was the last backup")
    assert "The newest backup is of Mon 11 Jan, 09:00, 1.2 MB." in newest
    assert "every night at 03:00" in newest
    chat.touch("Back up now")
    assert chat.outcome.backup == OWNER


def test_one_that_failed_keeps_the_one_before_in_mind() -> None:
    chat = Chat()
    after(chat, made())
    [reply] = after(chat, made(trouble="the disk is full", bytes=0)).replies
    assert reply.text.startswith("I could not make a backup: the disk is full.")
    assert "The shop itself is whole" in reply.text
    assert chat.shop.backups[0].bytes == 1234567
    later = MORNING + timedelta(days=1)
    [reply] = after(chat, made(chat="", at=later, trouble="the disk is full")).replies
    assert "The newest is of Mon 11 Jan, 09:00" in reply.text
    assert after(chat, made(chat="", at=later, trouble="the disk is full")).replies == ()
    newest = chat.say("when was the last backup")
    assert "of Mon 11 Jan" in newest
    assert "The last try failed: the disk is full." in newest


def test_every_owner_who_can_be_reached_is_told_and_no_helper() -> None:
    owner = Person(id="o", chat="telegram:3", role="owner")
    gone = replace(owner, id="g", chat="telegram:4", reachable=False)
    chat = Chat(apply(empty(), [Put(HELPER), Put(owner), Put(gone)]))
    replies = after(chat, made(chat="", trouble="the disk is full")).replies
    assert {reply.to for reply in replies} == {OWNER, "telegram:3"}


def test_before_the_first_one_is_made_that_is_said() -> None:
    chat = Chat()
    assert "No backup was made yet." in chat.say("when was the last backup")
    house = replace(chat.shop.house, backup_keep=0)
    chat.shop = replace(chat.shop, house=house, backups=(Backup(),))
    assert "None is made by itself" in chat.say("when was the last backup")


def test_nothing_of_it_enters_the_history() -> None:
    chat = Chat()
    chat.say("March theme rain and roots")
    after(chat, made())
    assert "rain and roots" in chat.say("undo")
