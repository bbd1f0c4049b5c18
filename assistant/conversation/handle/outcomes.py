"""How handlers put an outcome together.

Knows: outcomes, the talk that is remembered with them. Must not know: any one request. Invariants:
a reply to a change offers to take it back; a talk is remembered only when it changed; new ids come
from the moment's reference and are not in use.
"""

from collections.abc import Iterable, Sequence
from itertools import count

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.replies import files as say_files
from assistant.planning.model import Change, Put, Remove, Shop, Talk

Rows = tuple[tuple[Button, ...], ...]


def fresh_id(shop: Shop, asked: Asked) -> str:
    """Return an id that no item and no supplier has: `<reference>.<n>`, n counting from 1."""
    taken = {item.id for item in shop.items} | {supplier.id for supplier in shop.suppliers}
    return next(id for n in count(1) if (id := f"{asked.moment.ref}.{n}") not in taken)


def about(
    asked: Asked,
    *,
    item: str | None = None,
    box: str | None = None,
    deadlines: Sequence[str] | None = None,
) -> Talk:
    """Return the talk as it stands once it was about these; what is None stays as it was."""
    talk = asked.talk
    return replace(
        talk,
        id=talk.id or asked.heard.chat,
        item=talk.item if item is None else item,
        box=talk.box if box is None else box,
        deadlines=talk.deadlines if deadlines is None else tuple(deadlines),
    )


def undo(shop: Shop) -> Button:
    """The button that takes back the commit which is being made."""
    return Button("Undo", sentences.undo(shop.version + 1))


def answer(
    asked: Asked,
    lines: Iterable[str],
    buttons: Iterable[Button] = (),
    *,
    title: str = "",
    talk: Talk | None = None,
    stands: bool = False,
) -> Outcome:
    """An outcome that changes nothing: lines that are not empty, buttons two to a row. `stands`:
    what was asked for is so already."""
    reply = Reply(text=_text(lines), title=title, buttons=in_rows(buttons))
    return Outcome(replies=(reply,), notes=_remember(asked, talk), stands=stands)


def changed(
    shop: Shop,
    asked: Asked,
    changes: Iterable[Change],
    lines: Iterable[str],
    buttons: Iterable[Button] = (),
    *,
    talk: Talk | None = None,
    brief: Iterable[str] = (),
) -> Outcome:
    """An outcome that changes the plan, with the button that takes it back first; `brief` are the
    lines that must be told even where many changes are told at once (none: all of them)."""
    reply = Reply(text=_text(lines), buttons=in_rows((undo(shop), *buttons)))
    return Outcome(
        replies=(reply,),
        changes=tuple(changes),
        notes=_remember(asked, talk),
        brief=_text(brief),
    )


def with_rest(outcome: Outcome, title: str, rest: str, asked: Asked) -> Outcome:
    """Send with an answer about a file the text of all that it has no room for, if there is any."""
    if not rest:
        return outcome
    text = f"{title}\n\n{rest}"
    file = File(f"{asked.moment.ref}/read", say_files.WHOLE_NAME, text.encode())
    reply = Reply(text=say_files.WHOLE, document=file.id, document_name=file.name)
    return replace(outcome, replies=(*outcome.replies, reply), files=(file,))


def without(outcome: Outcome, gone: Remove) -> Outcome:
    """The outcome that lets go of a record of the assistant's own memory, too."""
    return replace(outcome, notes=(*outcome.notes, gone))


def in_rows(buttons: Iterable[Button], width: int = 2) -> Rows:
    """Lay buttons out for a phone, `width` to a row."""
    flat = tuple(buttons)
    return tuple(flat[start : start + width] for start in range(0, len(flat), width))


def _text(lines: Iterable[str]) -> str:
    return "\n".join(line for line in lines if line)


def _remember(asked: Asked, talk: Talk | None) -> tuple[Put, ...]:
    return () if talk is None or talk == asked.talk else (Put(talk),)
