"""Random and hostile messages: each gets words, none breaks anything or changes it unsaid."""

import random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule, run_state_machine_as_test

from tests.conversation.chat import Chat, plan_of
from tests.faults.hostile import COMMANDS, DATES, EXTRAS, HALVES, HOLES, NUMBERS, TEXTS, texts
from tests.trade import shop, with_holidays

PLAN = with_holidays(
    shop(
        "Aldermoor DE: transit 3d, lead 20d, closed 2-20 Aug yearly, deposit 30%",
        "Brackenfold: lead 5d",
        "Hangfeng CN: confirm 2d, transit 35d, lead 20d, net 30",
        "2027-03 Rain and roots: notebook@Aldermoor 450 x 3.10; tea@Brackenfold 450 x 1.20",
        "2027-05 First swifts: pin@Hangfeng 450 x 1.65; notebook@Aldermoor 450 x 3.10",
        "2027-11 Long dark",
        subscribers=420,
    ),
    Chat().now.date(),
)


def hear(chat: Chat, text: str, **fields: Any) -> None:
    """Let a message be heard and check what every message is owed."""
    before = plan_of(chat.shop)
    outcome = chat.hear(text, **fields)
    quiet_edit = fields.get("edited") and not outcome.replies
    assert quiet_edit or outcome.replies
    assert all(reply.text.strip() for reply in outcome.replies)
    if plan_of(chat.shop) != before:
        assert outcome.changes
    if outcome.changes:
        labels = set(chat.buttons)
        assert labels & {"Undo", "Put it back"}, (text, outcome.replies)
    for reply in outcome.replies:
        assert len(reply.text) <= 20_000
        for row in reply.buttons:
            assert row
            assert all(button.label.strip() and button.says.strip() for button in row)


def some(rng: random.Random) -> tuple[str, dict[str, Any]]:
    """A hostile message without hypothesis: fast, for the many."""
    said = rng.choice(COMMANDS)
    sane = {
        "n": ("1", "3", "20", "2.50"),
        "d": ("March", "May", "2027-04", "15 March"),
        "t": ("the notebook", "Aldermoor", "tea"),
        "h": HALVES,
    }
    for hole, fillings in HOLES.items():
        while f"{{{hole}}}" in said:
            from_where = fillings if rng.random() < 0.6 else sane[hole]
            said = said.replace(f"{{{hole}}}", rng.choice(from_where), 1)
    if rng.random() < 0.15:
        said = mangled(rng, said)
    return said, dict(rng.choice(EXTRAS)) if rng.random() < 0.3 else {}


def mangled(rng: random.Random, said: str) -> str:
    """Cut, turned or sprinkled with odd characters."""
    at = rng.randrange(len(said) + 1)
    return rng.choice(
        [
            said[:at],
            said[at:],
            said[::-1],
            said.upper(),
            said[:at] + rng.choice(TEXTS)[:50] + said[at:],
            "".join(rng.sample(said[:200], len(said[:200]))),
            f"{said}; {said}",
            f"{said} and then {said}",
        ]
    )


def corpus() -> list[str]:
    """Everything in the corpus as it stands."""
    return [*NUMBERS, *DATES, *TEXTS, *HALVES, *COMMANDS]


def test_each_text_of_the_corpus() -> None:
    chat = Chat(PLAN)
    for text in corpus():
        hear(chat, text)


@pytest.mark.parametrize("messages", [1500, pytest.param(20_000, marks=pytest.mark.slow)])
def test_conversations_of_hostile_messages(messages: int) -> None:
    rng = random.Random(messages)
    for _ in range(messages // 100):
        chat = Chat(PLAN)
        for _ in range(100):
            text, fields = some(rng)
            try:
                hear(chat, text, **fields)
            except Exception as error:
                error.add_note(f"{text[:300]!r} {fields}")
                raise


@settings(max_examples=200, suppress_health_check=list(HealthCheck))
@given(st.lists(st.tuples(texts(), st.sampled_from(EXTRAS)), min_size=1, max_size=3))
def test_random_messages(messages: list[tuple[str, dict[str, Any]]]) -> None:
    chat = Chat(PLAN)
    for text, fields in messages:
        hear(chat, text, **fields)


class Touching(RuleBasedStateMachine):
    """Somebody who says odd things and touches whatever button there is."""

    def __init__(self) -> None:
        super().__init__()
        self.chat = Chat(PLAN)

    @rule(text=texts())
    def say(self, text: str) -> None:
        hear(self.chat, text)

    @rule(which=st.integers(0, 50))
    def touch(self, which: int) -> None:
        buttons = list(self.chat.buttons.values())
        if buttons:
            hear(self.chat, buttons[which % len(buttons)], pressed=True)


def test_any_button_after_any_message() -> None:
    run_state_machine_as_test(
        Touching,
        settings=settings(
            max_examples=15, stateful_step_count=20, suppress_health_check=list(HealthCheck)
        ),
    )
