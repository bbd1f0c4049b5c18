"""What a change would do, shown before it is made.

Knows: how a set of changes is compared with the plan, and how a question with two answers is put.
Must not know: any one request. Invariants: a preview changes nothing but the talk; "Do it" says the
whole request once more, so it is done on the plan as it is then; the lines that a preview shows are
those that are said when it was done.
"""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import rearranging as say
from assistant.conversation.sentences.rearranging import leave_as_it_is, now
from assistant.planning.changes import profile_of
from assistant.planning.model import Shop
from assistant.planning.year import rearranging


def preview(
    shop: Shop, after: Shop, what: str, says: str, asked: Asked, lines: Iterable[str] = ()
) -> Outcome:
    """Ask whether a thing is to be done: `what` names it, `says` is its sentence, `after` is the
    shop with it done, `lines` are said before what it does."""
    sentences = now(says), leave_as_it_is()
    buttons = (Button("Do it", sentences[0]), Button("Leave it", sentences[1]))
    talk = replace(about(asked), options=sentences)
    every = (*lines, *effect_lines(shop, after, asked))
    return answer(asked, every, buttons, title=say.asked(what), talk=talk)


def effect_lines(shop: Shop, after: Shop, asked: Asked) -> Sequence[str]:
    """Say what the changes from one plan to another do."""
    found = rearranging.effect(shop, after, asked.today)
    return say.effect(found, profile_of(shop).currency, asked.today, after.items)


def closer_line(shop: Shop, after: Shop, asked: Asked) -> str:
    """Say which type comes back too soon by a change, "" for none."""
    return say.closer(rearranging.closer(shop, after), asked.today)


def as_done(outcome: Outcome, what: str) -> Outcome:
    """The outcome of a thing done, called in the history what it was called before it was."""
    return replace(outcome, why=what)
