"""Hypothesis strategies for every record of a shop, made from its fields' types."""

import types
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from assistant.planning.model import TABLES, Kept, Put, Record, Remove

words = st.text(max_size=12)  # leaves out half characters, which no JSON can hold
plain: dict[Any, st.SearchStrategy[Any]] = {
    str: words,
    int: st.integers(-(2**53), 2**53),
    bool: st.booleans(),
    date: st.dates(),
    time: st.times(),
    datetime: st.datetimes(timezones=st.just(UTC)),
    Decimal: st.decimals(allow_nan=False, allow_infinity=False),
    type(None): st.none(),
}


def of(hint: Any) -> st.SearchStrategy[Any]:
    """Return a strategy for a field of this type."""
    if hint in plain:
        return plain[hint]
    origin, args = get_origin(hint), get_args(hint)
    if origin is Literal:
        return st.sampled_from(args)
    if origin in (Union, types.UnionType):
        return st.one_of([of(arg) for arg in args])
    if origin is tuple and args[-1] is ...:
        return st.lists(of(args[0]), max_size=3).map(tuple)
    if origin is tuple:
        return st.tuples(*[of(arg) for arg in args])
    return record(hint)


def record(kind: type[Record], **fixed: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return a strategy for records of this kind, some fields as given."""
    fields = {name: of(hint) for name, hint in get_type_hints(kind).items() if name[0] != "_"}
    return st.builds(kind, **{**fields, **fixed})


ids = st.sampled_from(["1", "2", "10", "a", "é", "telegram:-1/5", "2027-03.notebook"])
kept: st.SearchStrategy[Kept] = st.one_of([record(kind, id=ids) for _, kind in TABLES])
removes = st.builds(Remove, table=st.sampled_from([table for table, _ in TABLES]), id=ids)
changes = st.lists(st.one_of(kept.map(Put), removes), max_size=6).map(tuple)
