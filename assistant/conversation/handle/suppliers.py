"""Suppliers and closures: who sells, when they work, what they ask.

Knows: which records a request changes and when it must be refused. Must not know: how a sentence
is written (replies/suppliers) or how a date is worked back. Invariants: a name that is not known
makes a supplier, but is never forgotten for one; no two suppliers have one name; every reply to a
change names the dates that move because of it.
"""

from datetime import date
from typing import Any

from msgspec.structs import asdict, replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import nearly, new_supplier, supplier_called
from assistant.conversation.handle.outcomes import answer, changed
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies import suppliers as say
from assistant.conversation.requests import (
    ChangeSupplier,
    Close,
    Reopen,
    ShowSupplier,
)
from assistant.conversation.sentences.cash import worth_of_terms
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Change, Closure, Put, Shop, Supplier
from assistant.planning.month.track import supplier_record


def close(shop: Shop, request: Close, asked: Asked) -> Outcome:
    """Note that a party is closed; a supplier that is not known is made."""
    closure = request.closure
    if closure.first and closure.last and closure.last < closure.first:
        return answer(asked, (say.backwards(request.supplier, closure, asked.today),))
    if not request.supplier:
        profile = profile_of(shop)
        if closure in profile.closures:
            return answer(asked, (say.closed_already("", closure, asked.today),), stands=True)
        put: Change = Put(replace(profile, closures=(*profile.closures, closure)))
        return told(shop, asked, (put,), say.closed("", closure, asked.today))
    known = supplier_called(shop, request.supplier)
    supplier = known or new_supplier(shop, asked, request.supplier)
    if closure in supplier.closures:
        text = say.closed_already(supplier.name, closure, asked.today)
        return answer(asked, (text,), stands=True)
    put = Put(replace(supplier, closures=(*supplier.closures, closure)))
    first = say.closed(supplier.name, closure, asked.today)
    return told(shop, asked, (put,), first, "" if known else _made(shop, supplier))


def reopen(shop: Shop, request: Reopen, asked: Asked) -> Outcome:
    """Forget the closures of a party that touch a day, or all of them."""
    party = supplier_called(shop, request.supplier) if request.supplier else profile_of(shop)
    if party is None:
        return answer(asked, (say.unknown(request.supplier),))
    who = party.name if request.supplier else ""
    gone = tuple(c for c in party.closures if request.day is None or touches(c, request.day))
    if not gone:
        text = say.not_closed(who, request.day, party.closures, asked.today)
        return answer(asked, (text,), stands=True)
    kept = tuple(closure for closure in party.closures if closure not in gone)
    changes = (Put(replace(party, closures=kept)),)
    return told(shop, asked, changes, say.open_again(who, gone, asked.today))


def change_supplier(shop: Shop, request: ChangeSupplier, asked: Asked) -> Outcome:
    """Change what was said of a supplier; a name that is not known makes one."""
    known = supplier_called(shop, request.name)
    old = known or new_supplier(shop, asked, request.name)
    new_name = " ".join(request.new_name.split())
    other = supplier_called(shop, new_name)
    if new_name and other and other.id != old.id:
        return answer(asked, (say.taken(new_name),))
    new = _with_said(old, request, new_name)
    if known and new == old:
        return answer(asked, (say.nothing_new(old.name, facts_of(shop, old)),), stands=True)
    what = differences(shop, known, new)
    first = say.changed(old.name, what, new=known is None)
    if known and new.name != old.name:
        heading = say.renamed(old.name, new.name)
        first = f"{heading} {say.changed(new.name, what, new=False)}" if what else heading
    return told(shop, asked, (Put(new),), first, "" if known else near(shop, new))


def facts_of(shop: Shop, supplier: Supplier) -> dict[str, str]:
    """Return what is known of a supplier, in words."""
    return say.facts(supplier, profile_of(shop).currency)


def differences(shop: Shop, old: Supplier | None, new: Supplier) -> tuple[str, ...]:
    """Return the facts that changed, those that are gone among them; all where it is new."""
    before, now = facts_of(shop, old) if old else {}, facts_of(shop, new)
    gone = {fact: text for fact, text in before.items() if fact in say.TERMS and fact not in now}
    return (*say_plan.differences(before, now), *map(say.no_longer, gone.values()))


def show_supplier(shop: Shop, request: ShowSupplier, asked: Asked) -> Outcome:
    """Show what is known of a supplier and what it supplies."""
    supplier = find(shop.suppliers, request.supplier)
    if supplier is None:
        return answer(asked, (say.unknown(request.supplier),))
    items = [item for item in shop.items if item.supplier == supplier.id]
    items.sort(key=lambda item: (item.box, item.name))
    facts = facts_of(shop, supplier)
    lines = say.shown(supplier, facts, items, usual_transit(shop, supplier), asked.today)
    known = supplier_record(shop, supplier.id)
    record = say.record(known) if known else ()
    due = dates.next_of_supplier(shop, supplier.id, asked.today)
    early = Button("Pay early?", worth_of_terms(supplier.name))
    buttons = (
        Button("What is due", sentences.what_is_due()),
        *((early,) if supplier.early_percent else ()),
    )
    return answer(asked, (*lines, *record, due), buttons, title=say_plan.name(supplier.name))


def usual_transit(shop: Shop, supplier: Supplier) -> int:
    """Return the house's calendar days from a supplier of that country to the shop."""
    home = not supplier.country or supplier.country == profile_of(shop).country
    return shop.house.transit_home_days if home else shop.house.transit_abroad_days


def touches(closure: Closure, day: date) -> bool:
    """Whether a closure may cover a day: a yearly one in any year, a festival's never by date."""
    first, last = closure.first, closure.last
    if closure.festival or first is None:
        return False
    if not closure.yearly:
        return first <= day and (last is None or day <= last)
    start, end, on = ((d.month, d.day) for d in (first, last or first, day))
    return start <= on <= end if start <= end else on >= start or on <= end


def _with_said(supplier: Supplier, request: ChangeSupplier, new_name: str) -> Supplier:
    said: dict[str, Any] = {
        field: value
        for field, value in asdict(request).items()
        if value is not None and field not in ("name", "new_name")
    }
    if "country" in said and "subdivision" not in said:
        said["subdivision"] = ""
    if "net_days" in said:  # plain days net: from dispatch, and no discount that outlasts them
        said["end_of_month"] = False
        if supplier.early_days is not None and supplier.early_days >= said["net_days"]:
            said |= {"early_percent": None, "early_days": None}
    return replace(supplier, **said, **({"name": new_name} if new_name else {}))


def _made(shop: Shop, supplier: Supplier) -> str:
    near = nearly(shop, supplier.name)
    return say_plan.new_supplier(supplier.name, supplier.country, near.name if near else "")


def near(shop: Shop, supplier: Supplier) -> str:
    """Point out the supplier that has nearly the name of a new one, "" for none."""
    alike = nearly(shop, supplier.name)
    return say_plan.alike_to(alike.name) if alike else ""


def told(
    shop: Shop,
    asked: Asked,
    changes: tuple[Change, ...],
    *lines: str,
    buttons: tuple[Button, ...] = (),
) -> Outcome:
    """The outcome of a change to calendars or suppliers: what moves because of it."""
    after = apply(shop, changes)
    moved = dates.moves(shop, after, asked.today)
    buttons = (*buttons, *dates.after_moves(after, asked.today))
    return changed(shop, asked, changes, (*lines, *moved), buttons, brief=lines)


HANDLERS: dict[type, Handler] = {
    Close: close,
    Reopen: reopen,
    ChangeSupplier: change_supplier,
    ShowSupplier: show_supplier,
}
