"""The outcomes of one message's parts made into one outcome.

Knows: replies, buttons, changes. Must not know: what they are about. Invariants: the chat that
was heard gets one message, plus one for each picture, file or message that is changed in place;
nothing that a part changes or tells another chat is lost; a button is shown once; of many parts
only what must be told is.
"""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.outcomes import in_rows
from assistant.conversation.messages import Button, Outcome, Reply

BUTTONS = 6  # of one message made of several
MANY = 3  # parts above which each is told in brief
UNDO = sentences.undo(0).rstrip("0")  # how the sentence begins that takes a change back


def join(outcomes: Sequence[Outcome], chat: str, closing: str = "") -> Outcome:
    """Return one outcome with the changes of all, in order; `chat` is the one that was heard.
    `closing` ends a message that tells of many things in brief."""
    if len(outcomes) == 1:
        return outcomes[0]
    many = len(outcomes) > MANY
    replies = [
        reply for outcome in outcomes for reply in (_brief(outcome) if many else outcome.replies)
    ]
    if many and closing:
        replies.append(Reply(closing))
    here = [reply for reply in replies if _is_plain(reply, chat)]
    others = [reply for reply in replies if not _is_plain(reply, chat)]
    return Outcome(
        replies=(*((_one(here),) if here else ()), *others),
        changes=tuple(change for outcome in outcomes for change in outcome.changes),
        notes=tuple(note for outcome in outcomes for note in outcome.notes),
        files=tuple(file for outcome in outcomes for file in outcome.files),
        undoes=next((outcome.undoes for outcome in outcomes if outcome.undoes), 0),
        backup=next((outcome.backup for outcome in outcomes if outcome.backup), ""),
    )


def _brief(outcome: Outcome) -> tuple[Reply, ...]:
    """The replies of a part, the first one with what must be told of it only."""
    if not outcome.brief:
        return outcome.replies
    first, *others = outcome.replies
    return (replace(first, text=outcome.brief), *others)


def _is_plain(reply: Reply, chat: str) -> bool:
    return reply.to in ("", chat) and not (reply.photo or reply.document or reply.live)


def _one(replies: Sequence[Reply]) -> Reply:
    """One reply out of several: texts under each other, every button once."""
    if len(replies) == 1:
        return replies[0]
    first, *others = replies
    gap = "\n\n" if any(reply.title for reply in replies) else "\n"
    texts = (first.text, *(f"{one.title}\n{one.text}".strip() for one in others))
    rows = in_rows(_once(replies))
    return replace(first, text=gap.join(texts), buttons=rows)


def _once(replies: Iterable[Reply]) -> tuple[Button, ...]:
    """The buttons of all replies, the first of each reply before its others. A label that stands
    for several things would not say for which: of those only the one that takes back is shown."""
    rows = [tuple(button for row in reply.buttons for button in row) for reply in replies]
    width = max(map(len, rows))
    turns = (row[place] for place in range(width) for row in rows if place < len(row))
    said = {button.says: button for button in reversed(tuple(turns))}
    labels = [button.label for button in said.values()]
    clear = (
        one
        for one in reversed(said.values())
        if labels.count(one.label) == 1 or one.says.startswith(UNDO)
    )
    return tuple(clear)[:BUTTONS]
