"""What buttons say of who does what."""

from datetime import date

from assistant.conversation import sentences
from assistant.planning.model import Person, Shop


def person_name(shop: Shop, person: Person) -> str:
    """Name a person so that nobody else can be meant: by name, else by id."""
    words = person.name.split()
    names = [one.name.casefold() for one in shop.people]
    heard = [word for name in names for word in {name, *name.split()}]
    plain = bool(words) and all(word.isalnum() for word in words)
    alone = heard.count(person.name.casefold()) == 1
    return " ".join(words) if plain and alone else person.id


def give(shop: Shop, key: str, person: Person) -> str:
    """Say that one person alone is nudged for a deadline."""
    return f"give {sentences.task(shop, key)} to {person_name(shop, person)}"


def give_back(shop: Shop, key: str) -> str:
    """Say that everybody is nudged for a deadline."""
    return f"nudge everybody about {sentences.task(shop, key)}"


def see_money(shop: Shop, person: Person, *, may: bool) -> str:
    """Say whether somebody may see money."""
    return f"{person_name(shop, person)} may{'' if may else ' not'} see money"


def back_on(shop: Shop, person: Person, day: date) -> str:
    """Say from which day on somebody works again."""
    return f"{person_name(shop, person)} is back on {day}"


def who_did(shop: Shop, *, item: str = "", box: str = "", person: Person | None = None) -> str:
    """Ask who did what, of an item, of a box, by a person, or of all."""
    if person is not None:
        return f"what did {person_name(shop, person)} do"
    what = sentences.item_name(shop, item) if item else box
    return f"who did what for {what}" if what else "who did what"
