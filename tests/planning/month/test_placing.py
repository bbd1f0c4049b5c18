"""How goods go into a box, and what it then weighs."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Books, Item
from assistant.planning.month.placing import breaks, placed, scale
from tests.trade import shop

BOX = "2027-03"
D = Decimal


def test_heavy_and_flat_first_then_what_breaks_and_the_main_item_on_top() -> None:
    made = shop(
        "2027-03 Rain: honey jar, 250 g; pin, 6 g, main; seed packet; notebook, 180 g,"
        " 210 x 148 x 12 mm; print, 180 g, 210 x 148 x 2 mm; map, 300 x 200 x 1 mm"
    )
    order = [one.name for one in placed(made, BOX, 431)]
    assert order == ["print", "notebook", "map", "seed packet", "honey jar", "pin"]


def test_options_are_shared_out_over_the_boxes() -> None:
    made = shop("2027-03 Rain: socks, 40 g")
    shares = (("S", D(30)), ("M", D(45)), ("L", D(25)))
    made = replace(made, items=tuple(replace(one, shares=shares) for one in made.items))
    (found,) = placed(made, BOX, 431)
    assert dict(found.options) == {"S": 129, "M": 194, "L": 108}
    assert sum(n for _, n in found.options) == 431


def test_what_breaks_by_its_name_or_type() -> None:
    assert breaks(Item("a", BOX, "Honey jars"))
    assert breaks(Item("a", BOX, "moss", type="mug"))
    assert not breaks(Item("a", BOX, "enamel pin"))
    assert not breaks(Item("a", BOX, "glasshouse seeds"))


def test_what_a_box_weighs() -> None:
    made = shop("2027-03 Rain: notebook, 180 g; tea, 40 g; pin, 6 g; seed packet")
    made = replace(made, books=(Books(packaging_grams=85),))
    found = scale(made, placed(made, BOX, 431))
    assert (found.grams, found.off, found.packaging) == (311, 7, True)
    assert (found.unknown, found.unseen) == (("seed packet",), ("pin",))


def test_several_pieces_of_an_item() -> None:
    made = shop("2027-03 Rain: candle, 50 g")
    made = replace(made, items=tuple(replace(one, units=3) for one in made.items))
    pieces = placed(made, BOX, 10)
    assert pieces[0].grams == 150
    assert scale(made, pieces).grams == 150
    assert scale(made, pieces).unseen == ()


def test_an_empty_box() -> None:
    found = scale(shop("2027-03"), ())
    assert (found.grams, found.off, found.unknown) == (0, 2, ())


GRAMS = st.lists(st.one_of(st.none(), st.integers(1, 2000)), max_size=8)


@given(GRAMS, st.one_of(st.none(), st.integers(1, 300)))
def test_a_box_that_lacks_an_item_that_shows_is_looked_at(
    grams: list[int | None], packaging: int | None
) -> None:
    made = shop("2027-03")
    items = tuple(Item(f"{n}", BOX, f"thing {n}", grams=g) for n, g in enumerate(grams))
    made = replace(made, items=items, books=(Books(packaging_grams=packaging),))
    pieces = placed(made, BOX, 10)
    found = scale(made, pieces)
    assert sorted(one.item for one in pieces) == sorted(item.id for item in items)
    assert len(found.unknown) == grams.count(None)
    assert found.grams == sum(g or 0 for g in grams) + (packaging or 0)
    for one in pieces:
        if one.grams is not None and one.name not in found.unseen:
            assert one.grams > found.off
