"""The sentences that buttons say.

Knows: how one thing is said so that it can mean only that. Must not know: who reads it back, what
follows from it. Invariants: each sentence stands on one line, needs no memory of what was said
before, and is understood back to exactly the request that it was made for; an item is named by its
name and its box, which are unique together.
"""

from collections.abc import Iterable
from datetime import date
from zlib import crc32

from assistant.conversation.replies.plain import MONTHS, listed, plural
from assistant.conversation.requests import ItemFacts
from assistant.conversation.sentences.item_facts import order_facts
from assistant.planning.changes import find
from assistant.planning.model import IdeaState, Lead, Shop
from assistant.scheduling.countries import country_name

_IDEAS: dict[IdeaState, str] = {
    "waiting": "ideas",
    "used": "used ideas",
    "let go": "ideas let go",
}
_ONE_LINE = str.maketrans({";": ",", "\u2019": "'", "\u2018": "'", "\u201c": '"', "\u201d": '"'})


def one_line(name: str) -> str:
    """A name as a sentence carries it: one line, plain quotes, no semicolon (which would end the
    sentence)."""
    return " ".join(name.translate(_ONE_LINE).split())


def item_name(shop: Shop, item_id: str) -> str:
    """Name an item: "field notebook for 2027-03". One that is gone is named by its id."""
    item = find(shop.items, item_id)
    return f"{one_line(item.name)} for {item.box}" if item else one_line(item_id)


def task(shop: Shop, key: str) -> str:
    """Name a deadline by its key: "order field notebook for 2027-03", "pack for 2027-03"."""
    id, _, stage = key.rpartition("/")
    return f"{stage} for {id}" if find(shop.boxes, id) else f"{stage} {item_name(shop, id)}"


# --- nudges ---------------------------------------------------------------------------------


def done(shop: Shop, key: str) -> str:
    """Say that a deadline is met."""
    return f"done: {task(shop, key)}"


def put_off(shop: Shop, key: str, days: int) -> str:
    """Say that a deadline shall not be nudged for some working days."""
    return f"put off {plural(days, 'day')}: {task(shop, key)}"


def not_needed(shop: Shop, key: str) -> str:
    """Say that a deadline does not apply."""
    return f"not needed: {task(shop, key)}"


def open_again(shop: Shop, key: str) -> str:
    """Say that a deadline is open after all."""
    return f"open again: {task(shop, key)}"


def rehearse() -> str:
    """Ask for a year of nudges."""
    return "rehearse"


# --- answers --------------------------------------------------------------------------------


def when(shop: Shop, item_id: str, stage: str = "order") -> str:
    """Ask for the date of one stage of an item."""
    return f"when {stage} {item_name(shop, item_id)}"


def why(shop: Shop, item: str = "", box: str = "", stage: str = "") -> str:
    """Ask for the chain behind an item or a box, or behind one stage of it."""
    if item:
        return f"why {stage} {item_name(shop, item)}" if stage else f"why {_dates_of(shop, item)}"
    return f"why {stage} for {box}" if stage else f"why {box}"


def _dates_of(shop: Shop, item_id: str) -> str:
    """Name an item so that its first word is not taken for a stage."""
    name = item_name(shop, item_id)
    first = name.partition(" ")[0]
    taken = name.startswith("the dates of ") or any(first == s.name for s in shop.house.stages)
    return f"the dates of {name}" if taken else name


def how_is(box: str) -> str:
    """Ask for the state of a box."""
    return f"how is {box}"


def what_is_due(until: date | None = None, since: date | None = None) -> str:
    """Ask what is to be done next, up to a day, or between two days."""
    if since and until:
        return f"what is due from {since} to {until}"
    return f"what is due by {until}" if until else "what is due"


def what_is_late() -> str:
    """Ask what should have been done."""
    return "what is late"


def further(start: int, asked: str) -> str:
    """Ask for the same list from a place of it on."""
    return f"from {start}: {asked}"


def this_month() -> str:
    """Ask for the state of this month's box."""
    return "this month"


def show_year() -> str:
    """Ask for the year plan."""
    return "show the year"


def show_supplier(name: str) -> str:
    """Ask what is known of a supplier."""
    return f"show supplier {one_line(name)}"


# --- ideas ----------------------------------------------------------------------------------


def idea_ref(idea_id: str) -> str:
    """A short, stable name for an idea: eight hex digits."""
    return f"{crc32(idea_id.encode()):08x}"


def keep_idea(text: str) -> str:
    """Say that a text is an idea."""
    return f"Idea: {one_line(text)}"


def show_idea(idea_id: str) -> str:
    """Ask for one idea whole."""
    return f"show idea {idea_ref(idea_id)}"


def use_idea(idea_id: str, box: str, as_theme: bool = False) -> str:
    """Put an idea to use in a box."""
    return f"use idea {idea_ref(idea_id)} {'as the theme of' if as_theme else 'in'} {box}"


def let_go(idea_id: str) -> str:
    """Let an idea go."""
    return f"let idea {idea_ref(idea_id)} go"


def bring_back(idea_id: str) -> str:
    """Let an idea wait again."""
    return f"bring back idea {idea_ref(idea_id)}"


def list_ideas(months: Iterable[int] = (), word: str = "", state: IdeaState = "waiting") -> str:
    """Ask for ideas by month, word and state."""
    names = listed([MONTHS[month - 1] for month in months])
    about = f" about {one_line(word)}" if word else ""
    return f"{_IDEAS[state]}{f' for {names}' if names else ''}{about}"


# --- the year plan --------------------------------------------------------------------------


def set_theme(box: str, theme: str) -> str:
    """Give a box its theme."""
    return f"{box} theme: {one_line(theme)}"


def add_item(box: str, facts: ItemFacts) -> str:
    """Add an item to a box, with all that is known of it."""
    return f"add to {box}: {', '.join(_facts(facts))}"


def change_item(shop: Shop, item_id: str, facts: ItemFacts) -> str:
    """Change what is known of an item (its name stays)."""
    return f"change {item_name(shop, item_id)}: {', '.join(_facts(facts)[1:])}"


def move(shop: Shop, item_id: str, box: str) -> str:
    """Move an item to another box."""
    return f"move {item_name(shop, item_id)} to {box}"


def drop(shop: Shop, item_id: str) -> str:
    """Take an item out of the plan."""
    return f"drop {item_name(shop, item_id)}"


def swap(first: str, second: str) -> str:
    """Swap two boxes."""
    return f"swap {first} and {second}"


def _facts(facts: ItemFacts) -> list[str]:
    """An item's facts, a piece each, in the words in which they are read."""
    pieces = [_quoted(facts.name)]
    if facts.supplier:
        pieces.append(f"from {_quoted(facts.supplier)}")
    if facts.unit_cost is not None:
        pieces.append(f"{facts.unit_cost:f} {facts.currency}".rstrip() + " each")
    if facts.quantity is not None:
        pieces.append(plural(facts.quantity, "piece").replace(",", ""))
    if facts.lead is not None:
        pieces.append(f"lead {lead(facts.lead)}")
    if facts.made_in:
        pieces.append(f"made in {country_name(facts.made_in) or facts.made_in}")
    pieces += [f"{word} {_quoted(said)}" for word, said in _kinds(facts) if said]
    if facts.grams is not None:
        pieces.append(f"{facts.grams} g")
    if facts.mm is not None:
        pieces.append(f"{' x '.join(map(str, facts.mm))} mm")
    pieces += order_facts(facts)
    return [*pieces, "main item"] if facts.main else pieces


def _kinds(facts: ItemFacts) -> tuple[tuple[str, str], ...]:
    return ("type", facts.type), ("form", facts.form)


def lead(value: Lead) -> str:
    """A lead time in the words in which it is read: "20 working days"."""
    return plural(value.days, f"{value.unit} day").replace(",", "")


def _quoted(name: str) -> str:
    """A name in quotes, so that a comma or a number in it starts no new fact."""
    return f'"{one_line(name).replace(chr(34), chr(39))}"'


# --- files, history, people, help -----------------------------------------------------------


def bring_in() -> str:
    """Say yes to the file that was read."""
    return "bring it in"


def leave_out() -> str:
    """Say no to the file that was read."""
    return "leave it"


def put_back() -> str:
    """Put back what was taken back last."""
    return "put it back"


def undo(number: int) -> str:
    """Take back one commit by its number."""
    return f"undo {number}"


def history() -> str:
    """Ask for the latest changes."""
    return "history"


def let_in() -> str:
    """Ask for a code that lets a helper in."""
    return "let a helper in"


def let_group_in() -> str:
    """Let the group in which it is said in."""
    return "let this group in"


def people() -> str:
    """Ask who was let in."""
    return "who is in"


def hello() -> str:
    """Greet."""
    return "hello"


def help_on(topic: str = "") -> str:
    """Ask what can be said."""
    return f"help {topic}".rstrip()
