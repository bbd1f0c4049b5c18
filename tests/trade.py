"""Tiny text constructors, so that tests read like the trade. Everything they make is invented.

    shop(
        "Hangfeng CN: confirm 2d, transit 5d, lead 10d, closed 2-20 Aug yearly",
        "2027-03 Rain & Roots: notebook@Hangfeng 450 x 3.10, lead 20d; tea 450 x 1.20",
    )

A text that cannot be read raises ValueError: only tests use this module.
Ids are made from names: supplier "hangfeng", box "2027-03", item "2027-03.notebook".
"""

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from msgspec.structs import replace

from assistant.edges.settings import load_house
from assistant.planning.calendars import missing
from assistant.planning.changes import apply
from assistant.planning.model import (
    Box,
    Closure,
    House,
    Item,
    Lead,
    Offer,
    Profile,
    Put,
    Shop,
    Supplier,
)
from assistant.scheduling.weeks import MONTHS as MONTH_NAMES

MONTHS = {name[:3]: number for number, name in enumerate(MONTH_NAMES, start=1)}


@lru_cache
def house() -> House:
    """The house defaults as they stand in config/defaults.toml."""
    read = load_house()
    assert isinstance(read, House), read
    return read


def box(text: str) -> tuple[Box, tuple[Item, ...]]:
    """Read `2027-03 Theme, ships 2027-03-12: item; item`; theme, ship date and items may lack."""
    head, _, tail = text.partition(": ")
    found = re.fullmatch(r"(\d{4}-\d\d[b-z]?) ?(.*?)(?:,? ?ships ([\d-]{10}))?", head.rstrip(":"))
    if found is None:
        raise ValueError(f"no box in {text!r}")
    id, theme, ships = found.groups()
    made = Box(id=id, theme=theme, ship_on=date.fromisoformat(ships) if ships else None)
    return made, tuple(item(id, part.strip()) for part in tail.split(";") if part.strip())


def item(box_id: str, text: str) -> Item:
    """Read `notebook@Aldermoor 450 x 3.10 EUR, lead 20d, made in DE, 180 g, 210 x 148 x 12 mm,
    main, type notebook, form lined`; only the name must be."""
    head, *rest = (part.strip() for part in text.split(","))
    found = re.fullmatch(
        r"(?P<name>[^@\d]+?)(?:@(?P<by>\w+))?"
        r"(?: (?P<quantity>\d+)(?: x (?P<cost>[\d.]+)(?: (?P<money>[A-Z]{3}))?)?)?",
        head,
    )
    if found is None:
        raise ValueError(f"no item in {text!r}")
    facts = [part for part in rest if part != "main"]
    bare = {unit: said for unit in ("mm", "g") if (said := _measure(facts, unit))}
    told = [part for part in facts if part.rpartition(" ")[2] not in ("mm", "g")]
    words = dict(_word(part, ("lead", "made in", "type", "form")) for part in told)
    return Item(
        id=f"{box_id}.{found['name']}",
        box=box_id,
        name=found["name"],
        supplier=(found["by"] or "").casefold(),
        quantity=int(found["quantity"]) if found["quantity"] else None,
        unit_cost=Decimal(found["cost"]) if found["cost"] else None,
        currency=found["money"] or "",
        lead=lead(words["lead"]) if "lead" in words else None,
        made_in=words.get("made in", ""),
        type=words.get("type", ""),
        form=words.get("form", ""),
        grams=int(bare["g"]) if "g" in bare else None,
        mm=size(bare["mm"]) if "mm" in bare else None,
        main="main" in rest,
    )


def _measure(facts: Iterable[str], unit: str) -> str:
    """The number that stands before a unit in one of these facts, "" for none."""
    return next((one[: -len(unit)].strip() for one in facts if one.endswith(f" {unit}")), "")


def size(text: str) -> tuple[int, int, int]:
    """Read `210 x 148 x 12`, in millimetres."""
    length, width, height = (int(side) for side in text.split(" x "))
    return length, width, height


def lead(text: str) -> Lead:
    """Read `20d` (working days), `30 calendar days` or `4w` (weeks are calendar days)."""
    found = re.fullmatch(r"(\d+)(d| calendar days|w)", text)
    if found is None:
        raise ValueError(f"no lead time in {text!r}")
    number = int(found[1])
    if found[2] == "d":
        return Lead(number)
    return Lead(number * 7 if found[2] == "w" else number, "calendar")


def offer(text: str) -> Offer:
    """Read `Aldermoor: moss print 2.10 EUR, min 200, case 50, quoted 2027-01-04, lead 20d, 40 g,
    210 x 148 x 1 mm, made in DE, type print, notes on cotton`; supplier and name must be."""
    by, _, told = text.partition(": ")
    head, *rest = (part.strip() for part in told.split(","))
    found = re.fullmatch(r"(?P<name>\D+?)(?: (?P<price>\d[\d.]*)(?: (?P<money>[A-Z]{3}))?)?", head)
    if found is None:
        raise ValueError(f"no offer in {text!r}")
    known = ("min", "case", "quoted", "lead", "made in", "type", "notes")
    grams, mm = _measure(rest, "g"), _measure(rest, "mm")
    measured = [part for part in rest if part.rpartition(" ")[2] in ("g", "mm")]
    words = dict(_word(part, known) for part in rest if part not in measured)
    return Offer(
        id=f"{by.casefold()}.{found['name']}",
        supplier=by.casefold(),
        name=found["name"],
        type=words.get("type", ""),
        price=Decimal(found["price"]) if found["price"] else None,
        currency=found["money"] or "",
        minimum=int(words["min"]) if "min" in words else None,
        case_pack=int(words["case"]) if "case" in words else None,
        quoted=date.fromisoformat(words["quoted"]) if "quoted" in words else None,
        lead=lead(words["lead"]) if "lead" in words else None,
        grams=int(grams) if grams else None,
        mm=size(mm) if mm else None,
        made_in=words.get("made in", ""),
        notes=words.get("notes", ""),
    )


def supplier(text: str) -> Supplier:
    """Read `Hangfeng CN: confirm 2d, transit 5d, lead 10d, closed 2-20 Aug yearly, week Mon-Sat,
    deposit 30%, net 30`; only the name must be. More closures: see `closure`."""
    head, _, tail = text.partition(":")
    name, _, country = head.strip().partition(" ")
    country, _, subdivision = country.partition("/")
    words = ("confirm", "transit", "lead", "closed", "week", "deposit", "net")
    fields: dict[str, Any] = {"closures": ()}
    for word, said in (_word(part.strip(), words) for part in tail.split(",") if part.strip()):
        match word:
            case "closed":
                fields["closures"] += (closure(said),)
            case "lead":
                fields["lead"] = lead(said)
            case "week":
                fields["week"] = said
            case "deposit":
                fields["deposit_percent"] = Decimal(said.rstrip("%"))
            case _:
                fields[f"{word}_days"] = int(said.rstrip("d"))
    return Supplier(
        id=name.casefold(), name=name, country=country, subdivision=subdivision, **fields
    )


def closure(text: str) -> Closure:
    """Read `2-20 Aug yearly`, `24 Dec-2 Jan yearly`, `2027-05-03 to 2027-05-07`,
    `from 2027-05-03`, `2027-05-03` or `10 before 5 after the lunar new year`."""
    iso = r"(\d{4}-\d\d-\d\d)"
    if found := re.fullmatch(r"(\d+) before (\d+) after the lunar new year", text):
        before, after = map(int, found.groups())
        return Closure("festival closure", festival=True, before=before, after=after)
    if found := re.fullmatch(r"(\d+) ?([A-Z][a-z]{2})?-(\d+) ([A-Z][a-z]{2}) yearly", text):
        day, month, last_day, last_month = found.groups()
        first = date(2027, MONTHS[month or last_month], int(day))
        last = date(2027, MONTHS[last_month], int(last_day))
        last = last if first <= last else last.replace(year=2028)
        return Closure("yearly closure", first, last, yearly=True)
    if found := re.fullmatch(f"{iso}(?: to {iso})?", text):
        first, last = (date.fromisoformat(day or found[1]) for day in found.groups())
        return Closure("closure", first, last)
    if found := re.fullmatch(f"from {iso}", text):
        return Closure("closed for good", date.fromisoformat(found[1]))
    raise ValueError(f"no closure in {text!r}")


def shop(*texts: str, house: House | None = None, **profile: Any) -> Shop:
    """A shop of boxes and suppliers, each from its text; `profile` are fields of Profile."""
    suppliers, boxes, items = [], [], []
    for text in texts:
        if text[:4].isdigit():
            made, inside = box(text)
            boxes.append(made)
            items.extend(inside)
        else:
            suppliers.append(supplier(text))
    return Shop(
        id="mossgate",
        house=house or defaults(),
        profile=(Profile(**profile),) if profile else (),
        suppliers=tuple(suppliers),
        boxes=tuple(boxes),
        items=tuple(items),
    )


defaults = house  # `house` is also the name of an argument


def with_stages(house: House, **changed: dict[str, Any]) -> House:
    """The house with some fields of some stages changed: `with_stages(h, pack={"notice": 5})`."""
    return replace(
        house, stages=tuple(replace(rule, **changed.get(rule.name, {})) for rule in house.stages)
    )


def with_holidays(shop: Shop, today: date) -> Shop:
    """The shop with the almanac that it lacks on `today`."""
    return apply(shop, (Put(record) for record in missing(shop, today)))


def _word(text: str, words: Iterable[str]) -> tuple[str, str]:
    """Split `lead 20d` into ("lead", "20d")."""
    for word in words:
        if text.startswith(word + " "):
            return word, text.removeprefix(word + " ")
    raise ValueError(f"{text!r} begins with none of {', '.join(words)}")
