"""What is said of ideas: kept, listed, put to use, let go, brought back.

Knows: ideas and how they are written. Must not know: which change follows from a request.
Invariants: an idea is shown in its own words, cut to a phone's line in lists and acknowledgements;
every refusal names one thing to say that works.
"""

from collections.abc import Sequence
from datetime import date

from assistant.conversation.replies.plain import MONTHS, box_name, day, listed, plural, short
from assistant.planning.model import Idea, IdeaState

ONE = 160  # characters of an idea that an acknowledgement shows
SOURCE = 20  # characters of who suggested it in a line of a list
LINE = 60  # characters of an idea that a line of a list shows
HEADINGS: dict[IdeaState, str] = {
    "waiting": "Ideas",
    "used": "Used ideas",
    "let go": "Ideas let go",
}


def kept(idea: Idea) -> str:
    """Acknowledge an idea with what was understood of it."""
    where = f" for {months(idea.months)}" if idea.months else " as an idea"
    whose = f", from {short(idea.source, LINE)}" if idea.source else ""
    what = "Picture kept" if idea.photo else "Kept"
    return f"{what}{where}{whose}: {stop(short(idea.text, ONE))}"


def changed(idea: Idea) -> str:
    """Acknowledge that a sent message was edited, and its idea with it."""
    where = f" for {months(idea.months)}" if idea.months else ""
    return f"Changed the idea{where}: {stop(short(idea.text, ONE))}"


def edit_runs_nothing() -> str:
    """Say that an edit does not do what its new words would do."""
    return "An edit changes only the words of the idea. To have it done, say it anew."


def not_an_idea(text: str) -> str:
    """Say that an edit of something already answered changes nothing."""
    again = f": {short(text, LINE)}" if text else "."
    return f"An edit does not change what I did with the first message. Send it anew{again}"


def unwritten(text: str) -> str:
    """Name a picture that came without words."""
    return text or "a picture without words"


def picture_lost() -> str:
    """Say that a picture did not arrive."""
    return "The picture could not be fetched: send it again if it matters."


def picture_left() -> str:
    """Say that a picture sent with a command was not kept."""
    return "The picture was not kept. To keep it, send it with: Idea: and a few words"


def heading(state: IdeaState, months_: Sequence[int], word: str) -> str:
    """Write the title of a list of ideas: "Ideas for November about tea"."""
    when = f" for {months(months_)}" if months_ else ""
    what = f' about "{short(word, LINE)}"' if word else ""
    return f"{HEADINGS[state]}{when}{what}"


def line(number: int, idea: Idea, today: date, shown_months: Sequence[int]) -> str:
    """Write one idea of a list; its months only where the list is not about them."""
    when = "" if tuple(shown_months) == idea.months or not idea.months else months(idea.months)
    where = f"in {box_name(idea.box, today)}" if idea.state == "used" and idea.box else when
    picture = "picture" if idea.photo else ""
    whose = f"from {short(idea.source, SOURCE)}" if idea.source and idea.votes else ""
    votes = plural(idea.votes, "vote") if idea.votes else ""
    notes = ", ".join(part for part in (where, whose, votes, picture) if part)
    return f"{number}. {short(idea.text, LINE)}{f' ({notes})' if notes else ''}"


def more(number: int) -> str:
    """Say that a list goes on, and how to shorten it."""
    return f"and {plural(number, 'older one')}. For fewer: ideas for May, or ideas about tea"


def none(title: str, waiting: int) -> str:
    """Say that a list is empty, and what would fill it or what else there is."""
    if waiting:
        return f"{title}: none. {plural(waiting, 'idea waits', 'ideas wait')} in all: say ideas"
    return f"{title}: none yet. For example: Idea: lantern walk for November"


def whole(idea: Idea, by: str, on: date, today: date) -> tuple[str, ...]:
    """Show one idea in full."""
    when = f"Kept {day(on, today)}" + (f" by {short(by, LINE)}" if by else "")
    return (
        idea.text,
        idea.link if idea.link and idea.link not in idea.text else "",
        f"For {months(idea.months)}." if idea.months else "",
        f"{when}{f', from {short(idea.source, LINE)}' if idea.source else ''}.",
        f"{plural(idea.votes, 'vote')} of subscribers." if idea.votes else "",
        f"Used in {box_name(idea.box, today)}." if idea.state == "used" and idea.box else "",
        "Let go." if idea.state == "let go" else "",
    )


def put_to_use(idea: Idea) -> str:
    """Say that an idea is no longer waiting."""
    return f"Used the idea: {stop(short(idea.text, LINE))}"


def used_already(idea: Idea, today: date) -> str:
    """Refuse to use an idea twice."""
    where = f" in {box_name(idea.box, today)}" if idea.box else ""
    return (
        f"{short(idea.text, LINE)}: that idea is used{where} already. "
        "Bring it back first to use it once more."
    )


def let_go(idea: Idea) -> str:
    """Say that an idea was let go."""
    return f"Let go: {stop(short(idea.text, LINE))}"


def brought_back(idea: Idea, was_in: str, today: date) -> str:
    """Say that an idea waits again; what came of it in a box stays there."""
    text = f"Waiting again: {stop(short(idea.text, LINE))}"
    return f"{text}\nWhat came of it in {box_name(was_in, today)} stays there." if was_in else text


def stands(idea: Idea) -> str:
    """Say that an idea is in that state already."""
    states = {"waiting": "waits already", "let go": "was let go already", "used": "is in use"}
    return f"{short(idea.text, LINE)}: that idea {states[idea.state]}."


def gone() -> str:
    """Say that an idea is not kept any more."""
    return "That idea is not here any more. To see those that are: ideas"


def months(numbers: Sequence[int]) -> str:
    """Write months 1..12 by name."""
    return listed([MONTHS[number - 1] for number in numbers])


def stop(text: str) -> str:
    """End a text with a full stop unless it ends as a sentence, or in a link."""
    last = text.rpartition(" ")[2].casefold()
    ends = text.endswith((".", "!", "?", "\u2026")) or last.startswith(("http:", "https:", "www."))
    return text if ends else f"{text}."
