"""A shop in which things are ordered and come, and short ways to look at it: all invented."""

from datetime import date
from typing import Any

from assistant.planning.changes import find
from assistant.planning.deadlines import deadline
from assistant.planning.model import (
    Person,
    Purchase,
    Shop,
)
from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

NOTEBOOK, TEA, PIN = "2027-03.field notebook", "2027-03.mint tea", "2027-05.enamel pin"
TODAY = date(2027, 1, 11)
ANNA = Person(id="telegram:2", chat="telegram:2", name="Anna")
JO = Person(id="telegram:3", chat="telegram:3", name="Jo")


def year(**profile: Any) -> Shop:
    return shop(
        "Aldermoor: transit 3d",
        "Hangfeng CN: confirm 2d, transit 5d",
        "2027-03 Rain: field notebook@Aldermoor 450 x 3.10, lead 20d; mint tea",
        "2027-05: enamel pin@Hangfeng, lead 20d",
        "2027-06: enamel pin@Aldermoor; tin badge@Hangfeng; enamel mug",
        **({"subscribers": 420} | profile),
    )


def begun(*said: str, known: Shop | None = None) -> Chat:
    chat = Chat(known or year())
    for one in said:
        chat.say(one)
        assert chat.changes, one
    return chat


def unchanged(chat: Chat, said: str) -> str:
    before = plan_of(chat.shop)
    answer = chat.say(said)
    assert plan_of(chat.shop) == before, answer
    return answer


def state(chat: Chat, key: str) -> str:
    found = deadline(chat.shop, key, TODAY)
    assert found
    return found.state


def bought(chat: Chat, id: str = NOTEBOOK) -> Purchase:
    found = find(chat.shop.purchases, id)
    assert found
    return found


ORDERED = ("ordered 460 notebooks, they say 3 March",)
CAME = (*ORDERED, "412 notebooks came, 6 bent")
