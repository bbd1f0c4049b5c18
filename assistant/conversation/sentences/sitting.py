"""What the buttons of the sitting say; invariants as in the package."""

from assistant.conversation.sentences import idea_ref, keep_idea, set_theme, undo, use_idea
from assistant.planning.model import Talk


def plan_year(year: int | None = None) -> str:
    """Begin the sitting about a year, or go on with it."""
    return f"plan {year}" if year else "carry on planning"


def prompts(box: str) -> str:
    """Ask what could be the theme of a box."""
    return f"prompts for {box}"


def take_prompt(box: str, theme: str, idea: str = "") -> str:
    """Make a prompt the theme of a box; one that is an idea is put to use."""
    return use_idea(idea, box, as_theme=True) if idea else set_theme(box, theme)


def skip(box: str) -> str:
    """Leave a box open and go on."""
    return f"skip {box}"


def open_boxes(year: int | None = None) -> str:
    """Ask which boxes of a year lack something."""
    return f"what is open in {year}" if year else "what is open"


def stop_planning() -> str:
    """Leave the sitting."""
    return "stop planning"


def vote(idea_id: str, by: int) -> str:
    """Count subscribers who ask for an idea."""
    return f"{by} more votes for idea {idea_ref(idea_id)}"


def was_an_idea(number: int, text: str) -> str:
    """Take back a commit that took a thought for a theme, and keep the thought."""
    return f"{undo(number)}; {keep_idea(text)}"


def asks_theme(talk: Talk) -> bool:
    """Whether the sitting's prompts for the theme of `talk.sitting` are what the chat saw last:
    what "1" and "2" stand for are its prompts and nothing else."""
    about = (f"{talk.sitting} theme: ", f"as the theme of {talk.sitting}", skip(talk.sitting))
    choices = [says for says in talk.options if not says.startswith("from ")]
    return bool(talk.sitting and choices) and all(
        says.startswith(about[0]) or says.endswith(about[1]) or says == about[2] for says in choices
    )
