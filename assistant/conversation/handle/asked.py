"""What every handler is given besides the shop and the request."""

from collections.abc import Callable
from datetime import date
from typing import Any

from assistant.conversation.messages import Heard, Moment, Outcome
from assistant.planning.model import Person, Record, Shop, Talk


class Asked(Record):
    """Who asked, in which chat, when. `today` is the local day of the shop; new ids are
    `f"{moment.ref}.{n}"`, n counting from 1 within one handler's changes of one message. `money`:
    whether money is told in this chat; where it is not, the shop has none in it (handle/seeing),
    and of the items `unsure` the number to order cannot be told, since it rests on money."""

    heard: Heard
    moment: Moment
    person: Person
    talk: Talk
    today: date
    money: bool = True
    unsure: frozenset[str] = frozenset()


Handler = Callable[[Shop, Any, Asked], Outcome]
