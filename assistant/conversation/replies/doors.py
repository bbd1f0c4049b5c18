"""What is said at the doors: to strangers, to people let in, about who is in.

Knows: how a code and a person are written. Must not know: who may do what (see handle/doors).
Invariant: nothing that a stranger can read tells anything of the shop or of its people.
"""

from collections.abc import Sequence

from assistant.conversation.replies.plain import listed, plural, short
from assistant.planning.model import Person, Place

NAME = 40  # characters of a name or an address that a phone shows on one line

REFUSAL = (
    "Good day. I only talk with people who were let in.\n"
    "If you were given a code, send it alone as a message."
)
GROUP_REFUSAL = (
    "Good day. I only work in groups that were let in.\n"
    "Whoever runs me can say here: let this group in"
)
WRONG_CODE = (
    "That is not a code I know. A code works once and for one day; "
    "check its letters and send it alone, or ask for a new one."
)
LAST_WRONG_CODE = "That is not a code I know either. I take no more codes from you for a day."


def welcome_in(person: Person) -> str:
    """Greet a person whose code was right."""
    name = f", {short(person.name, NAME)}" if person.name else ""
    return f"You are in{name}, as {_role(person)}.\nFor a start: hello"


def joined(person: Person) -> str:
    """Tell the owners that someone came in."""
    return f"{_capital(called(person))} came in with a code, as {_role(person)}."


def group_in(name: str) -> str:
    """Say that a group was let in, in the group."""
    where = f'"{short(name, NAME)}"' if name else "This group"
    return (
        f"{where} is let in. Everyone here can speak to me now, as helpers.\n"
        "For example: what is due"
    )


def group_in_already() -> str:
    """Say that a group was let in before."""
    return "This group is let in already."


def code(text: str, role: str, group: bool) -> str:
    """Show a one-time code and say how it is used."""
    if group:
        how = "Add me to the group and send it there; or say there yourself: let this group in"
        return f"A code for a group: {text}\n{how}\nIt works once, for one day."
    whom = "an owner" if role == "owner" else "a helper"
    return f"A code for {whom}: {text}\nThey send it to me, alone.\nIt works once, for one day."


def code_sent() -> str:
    """Say in a group that a code went to its owner's own chat."""
    return "I sent the code to you in our own chat, so that nobody else reads it."


def owners_only(what: str) -> str:
    """Refuse a helper what only an owner may do."""
    return f"I read that you want to {what}. Only an owner can; you can ask who that is: who is in"


def sent_away(person: Person, theirs: str = "") -> str:
    """Say that someone's access ended, and that what was theirs alone is everybody's again."""
    out = f"{_capital(called(person))} is out and gets no more messages from me."
    return f"{out}\nEverybody is nudged again for what was theirs: {theirs}." if theirs else out


def last_owner(person: Person) -> str:
    """Refuse to send the last owner away."""
    return (
        f"{_capital(called(person))} is the only owner, so I cannot send them away. "
        "Let another owner in first: let an owner in"
    )


def not_in(id: str) -> str:
    """Say that nobody of that kind was let in."""
    return f"Nobody called {short(id, NAME)} is in. To see who is: who is in"


def people(
    persons: Sequence[tuple[Person, str]], me: str, groups: Sequence[Place], codes: int
) -> tuple[str, ...]:
    """List who is in, a line each, and what is still open; `me` is the id of who asks. Beside each
    person stands when they are off, "" for never."""
    lines = [_in_list(person, person.id == me, off) for person, off in persons]
    if groups:
        names = [short(place.name or place.id, NAME) for place in groups]
        lines.append(f"Groups: {listed(names)}")
    if codes:
        lines.append(f"{plural(codes, 'code')} not used yet")
    return tuple(lines)


def _in_list(person: Person, me: bool, off: str) -> str:
    name = person.name or ("You" if me else person.chat)
    sees = ", may see money" if person.money and person.role == "helper" else ""
    away = f", off {off}" if off else ""
    return f"{short(name, NAME)}: {_role(person)}{sees}{away}{_silent(person)}"


def cannot_be_reached(person: Person) -> str:
    """Tell the others that someone cannot be written to."""
    return (
        f"I can no longer write to {called(person)}: they blocked me or left. "
        "They get no nudges until they write to me again."
    )


def group_left(place: Place) -> str:
    """Tell the owners that the assistant was taken out of a group."""
    return f'I was taken out of the group "{short(place.name or place.id, NAME)}".'


def called(person: Person) -> str:
    """Write what a person is called; one without a name by what they are."""
    return short(person.name, NAME) or ("the owner" if person.role == "owner" else "a helper")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _role(person: Person) -> str:
    return "an owner" if person.role == "owner" else "a helper"


def _silent(person: Person) -> str:
    return "" if person.reachable else ", cannot be reached"
