"""What is said becomes what is meant, or a question: the table of utterances, sentences of buttons
understood back, several things in one message."""

from collections import Counter
from decimal import Decimal

import pytest

from assistant.conversation.order_requests import ChangeBooks, CountSubscribers, SetFlow
from assistant.conversation.requests import ChangeShop, KeepIdea, Question, Request
from assistant.conversation.understand import understand
from assistant.planning.model import Talk
from tests.conversation import questions, utterances
from tests.conversation.meant import ONE, SHOP, TALK, TODAY


def said(text: str, talk: Talk = TALK) -> tuple[Request, ...] | Question:
    return understand(text, SHOP, talk, TODAY)


@pytest.mark.parametrize(("text", "meant"), utterances.TABLE, ids=lambda x: str(x)[:60])
def test_means(text: str, meant: Request) -> None:
    assert said(text) == (meant,)


@pytest.mark.parametrize(("text", "meant"), utterances.ALONE, ids=lambda x: str(x)[:60])
def test_means_the_only_one(text: str, meant: Request) -> None:
    assert said(text, ONE) == (meant,)


@pytest.mark.parametrize(
    ("text", "words", "offers"), questions.QUESTIONS, ids=lambda x: str(x)[:60]
)
def test_asks(text: str, words: str, offers: tuple[str, ...]) -> None:
    asked = said(text)
    assert isinstance(asked, Question)
    assert words in asked.text
    says = [option.says for option in asked.options]
    for offer in offers:
        assert any(one.startswith(offer) for one in says), says


@pytest.mark.parametrize("text", questions.THOUGHTS)
def test_a_thought_is_kept(text: str) -> None:
    found = said(text)
    assert isinstance(found, tuple)
    (kept,) = found
    assert isinstance(kept, KeepIdea)
    assert kept.taken_for_one


TOGETHER: list[tuple[str, tuple[Request, ...]]] = [
    (
        "we are Lintel & Thread, 180 subscribers, price 26 pounds",
        (
            ChangeShop(name="Lintel & Thread"),
            CountSubscribers(180),
            ChangeShop(price=Decimal(26)),
        ),
    ),
    ("Hi, we're Moss Club, 40 subs", (ChangeShop(name="Moss Club"), CountSubscribers(40))),
    (
        "packaging 0.85, card 0.12, and churn 4%",
        (
            ChangeBooks(packaging=Decimal("0.85")),
            ChangeBooks(card=Decimal("0.12")),
            SetFlow(churn=Decimal(4)),
        ),
    ),
]


@pytest.mark.parametrize(("text", "meant"), TOGETHER, ids=lambda x: str(x)[:40])
def test_facts_of_the_shop_parted_by_commas(text: str, meant: tuple[Request, ...]) -> None:
    assert said(text) == meant


@pytest.mark.parametrize("text", ["we are late, 180 subs", "we are Moss, the small sewing box"])
def test_other_words_with_commas_change_nothing(text: str) -> None:
    found = said(text)
    assert isinstance(found, Question) or all(isinstance(one, KeepIdea) for one in found)


def test_the_table_is_as_large_as_it_should_be() -> None:
    texts = Counter(text for text, _ in utterances.TABLE)
    assert max(texts.values()) == 1
    assert len(texts) >= 250
