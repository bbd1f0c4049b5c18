"""What is said in welcome, and of what can be said.

Knows: the sample conversations (examples.py). Must not know: what any of them does. Invariants:
every sentence shown as something to say is one that the examples say, so it is tested; the
overview fits a phone.
"""

from collections.abc import Sequence

from assistant.conversation.examples import Example, phrases
from assistant.conversation.replies.plain import listed, short
from assistant.planning.model import Profile

NAME = 40
ABOUT: dict[str, str] = {  # topic of the examples -> what it is about
    "ideas": "catch them, find them, use them",
    "plan": "themes and items, box by box",
    "year": "themes in one sitting, its picture",
    "types": "what comes back, spread evenly",
    "contents": "what a box lacks, price lists",
    "counts": "subscribers, joins, churn, gifts",
    "orders": "how many, from whom, written out",
    "money": "costs, margin, cash, rates, postage",
    "suppliers": "where they are, when closed",
    "goods": "cautions: what to check, with whom",
    "dates": "when, and why then",
    "nudges": "mornings, done, put off",
    "month": "ordered, came, counted, packed",
    "late": "ways out, chances, the weak spot",
    "learning": "what sold, what was loved, records",
    "shop": "its numbers, days and zone",
    "files": "send a CSV or XLSX of your year",
    "undo": "swap, versions, take back",
    "people": "helpers and groups",
}
AREAS: dict[str, tuple[str, ...]] = {  # part of the year's work -> its topics
    "planning": ("ideas", "plan", "year", "types", "contents"),
    "buying": ("counts", "orders", "money", "suppliers", "goods"),
    "running": ("dates", "nudges", "month", "late", "learning"),
    "keeping": ("shop", "files", "undo", "people"),
}


def overview() -> tuple[str, ...]:
    """List what help there is, a line for each part of the work."""
    parts = (f"{area.capitalize()}: {', '.join(topics)}" for area, topics in AREAS.items())
    return (*parts, "Say help with one of these words. For example: help orders")


def area(name: str) -> tuple[str, ...]:
    """List the topics of one part of the work, a line a topic."""
    return tuple(f"help {topic}: {ABOUT[topic]}" for topic in AREAS[name])


def topic(examples: Sequence[Example]) -> tuple[str, ...]:
    """List what can be said on one topic."""
    return tuple(f"\u2022 {phrase}" for example in examples for phrase in phrases(example))


def no_topic(said: str, topics: Sequence[str]) -> str:
    """Refuse a topic that there is no help on."""
    return f"I have no help on {short(said, NAME)}, but on {listed(topics)}. For example: help plan"


def greeting(name: str, shop: str) -> str:
    """The title of the welcome."""
    if name:
        return f"Hello, {short(name, NAME)}"
    return f"Hello from {short(shop, NAME)}" if shop != Profile().name else "Hello"


BEGIN = (
    "Nothing is planned yet. To begin, send a year from a file (CSV or XLSX), or say it:",
    "\u2022 March theme rain and roots",
    "\u2022 add to March: field notebook from Aldermoor, 3.10, 20 working days, made in Germany",
    "And catch ideas as they come:",
    "\u2022 Idea: lantern walk for November, maybe a beeswax wrap",
)
