"""What people say of how many to order, of what decides it, and of how an item is sold: every
sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone.
"""

from decimal import Decimal

from assistant.conversation.order_requests import ChangeBooks, HowMany
from assistant.conversation.requests import Request
from assistant.planning.model import Break
from tests.conversation.meant import BISCUITS, MAY_PIN, NOTEBOOK, SEEDS, TEA, change, item

NOTEBOOKS, MAY = HowMany(item=NOTEBOOK), HowMany(box="2027-05")
PRICE = Break(500, Decimal("2.90"))
SIZES = (("S", Decimal(20)), ("M", Decimal(50)), ("L", Decimal(30)))

QUANTITIES: list[tuple[str, Request]] = [
    # how many
    ("how many notebooks for March", NOTEBOOKS),
    ("how many notebooks", NOTEBOOKS),
    ("how many notebooks do I order for March?", NOTEBOOKS),
    ("how many notebooks should I order", NOTEBOOKS),
    ("how many of the field notebooks do we need", NOTEBOOKS),
    ("how much mint tea to order", HowMany(item=TEA)),
    ("How many biscuits shall I order for march", HowMany(item=BISCUITS)),
    ("how many pins for May", HowMany(item=MAY_PIN)),
    ("quantity of the notebook", NOTEBOOKS),
    ("how many notbooks for mar", NOTEBOOKS),
    ("how manny notebooks for March", NOTEBOOKS),
    ("hwo many notebooks do i order", NOTEBOOKS),
    ("how many of it", NOTEBOOKS),
    ("how many do I order", NOTEBOOKS),
    ("how many?", NOTEBOOKS),
    ("how many shall i order", NOTEBOOKS),
    # how many of everything
    ("how many of everything for May", MAY),
    ("how many for May", MAY),
    ("how many do I order for May?", MAY),
    ("quantities for May", MAY),
    ("what quantities for may", MAY),
    ("how mnay of everything for May", MAY),
    ("how many of each for may pls", MAY),
    ("order quantities for March", HowMany(box="2027-03")),
    # why so many
    ("why so many", HowMany(item=NOTEBOOK, whole=True)),
    ("why so many notebooks", HowMany(item=NOTEBOOK, whole=True)),
    ("why that many biscuits for March?", HowMany(item=BISCUITS, whole=True)),
    ("why so many notbooks", HowMany(item=NOTEBOOK, whole=True)),
    # what decides it
    ("be 95% sure", ChangeBooks(confidence=Decimal(95))),
    ("I want to be 98 % sure", ChangeBooks(confidence=Decimal(98))),
    ("be 97.5% sure not to run short", ChangeBooks(confidence=Decimal("97.5"))),
    ("confidence 90%", ChangeBooks(confidence=Decimal(90))),
    ("be 95 percent sure", ChangeBooks(confidence=Decimal(95))),
    ("be 95% srue", ChangeBooks(confidence=Decimal(95))),
    ("95% sure", ChangeBooks(confidence=Decimal(95))),
    ("forget how sure to be", ChangeBooks(forget=("confidence",))),
    ("running short costs 12 a box", ChangeBooks(short_cost=Decimal(12))),
    ("a shortage costs £12.50", ChangeBooks(short_cost=Decimal("12.50"))),
    ("if we run short it costs us 12 a box", ChangeBooks(short_cost=Decimal(12))),
    ("runing short costs 12 a box", ChangeBooks(short_cost=Decimal(12))),
    ("leftovers fetch 30%", ChangeBooks(resale=Decimal(30))),
    ("left overs sell for 30 percent of what they cost", ChangeBooks(resale=Decimal(30))),
    ("we get 25% back for leftovers", ChangeBooks(resale=Decimal(25))),
    ("leftovers fetch 0%", ChangeBooks(resale=Decimal(0))),
    ("2% arrive broken", ChangeBooks(damage=Decimal(2))),
    ("spares 2%", ChangeBooks(damage=Decimal(2))),
    ("2.5 % arive broken", ChangeBooks(damage=Decimal("2.5"))),
    ("breakage 3%", ChangeBooks(damage=Decimal(3))),
    # how an item is sold
    ("notebook minimum 200", change(NOTEBOOK, minimum=200)),
    ("notebook moq 200", change(NOTEBOOK, minimum=200)),
    ("the minimum for the notebook is 200", change(NOTEBOOK, minimum=200)),
    ("notebook has no minimum", change(NOTEBOOK, minimum=0)),
    ("notebooks come in cases of 24", change(NOTEBOOK, case_pack=24)),
    ("notebook 24 a case", change(NOTEBOOK, case_pack=24)),
    ("notebok: cases of 24, min 200", change(NOTEBOOK, case_pack=24, minimum=200)),
    ("notebook from 500 at 2.90", change(NOTEBOOK, breaks=(PRICE,))),
    (
        "notebook from 500 at 2.90, from 1,000 at 2.60",
        change(NOTEBOOK, breaks=(PRICE, Break(1000, Decimal("2.60")))),
    ),
    ("notebook 500+ at 2.90", change(NOTEBOOK, breaks=(PRICE,))),
    ("notebook: no breaks", change(NOTEBOOK, breaks=(Break(0, Decimal(0)),))),
    ("notebook set-up 60", change(NOTEBOOK, setup=Decimal(60))),
    (
        "notebook set up fee £60",
        change(NOTEBOOK, setup=Decimal(60), currency="GBP"),
    ),
    ("2 notebooks in each box", change(NOTEBOOK, units=2)),
    ("notebook 2 in each box", change(NOTEBOOK, units=2)),
    ("put two seed packets in every box", change(SEEDS, units=2)),
    ("notebook sizes S 20%, M 50%, L 30%", change(NOTEBOOK, shares=SIZES)),
    ("notebook: sizes S 20%, M 50% and L 30%", change(NOTEBOOK, shares=SIZES)),
    ("notebook one size", change(NOTEBOOK, shares=(("", Decimal(100)),))),
    ("there are 40 notebooks left", change(NOTEBOOK, stock=40)),
    ("notebook 40 in stock", change(NOTEBOOK, stock=40)),
    ("we have 40 notebooks left", change(NOTEBOOK, stock=40)),
    ("we have 40 notbooks left", change(NOTEBOOK, stock=40)),
    ("we've got 40 notebooks in stock", change(NOTEBOOK, stock=40)),
    ("3% of the notebooks arrive broken", change(NOTEBOOK, damage=Decimal(3))),
    ("notebook 3% arrive broken", change(NOTEBOOK, damage=Decimal(3))),
    ("biscuits keep 90 days", change(BISCUITS, keeps_days=90)),
    ("oat biscuits keeps for 3 months", change(BISCUITS, keeps_days=90)),
    ("biscuits best before 12 weeks", change(BISCUITS, keeps_days=84)),
    (
        "change the notebook: 3.40, no minimum",
        change(NOTEBOOK, unit_cost=Decimal("3.40"), minimum=0),
    ),
    (
        "add to May: tin mug from Aldermoor, 3.10, minimum 200, 24 a case, from 500 at 2.90, "
        "set-up 60, 2 in each box, 3% arrive broken, keeps 90 days, 40 in stock",
        item(
            "tin mug",
            "2027-05",
            supplier="Aldermoor",
            unit_cost=Decimal("3.10"),
            minimum=200,
            case_pack=24,
            breaks=(PRICE,),
            setup=Decimal(60),
            units=2,
            damage=Decimal(3),
            keeps_days=90,
            stock=40,
        ),
    ),
    ("add to May: tee, sizes S 20%, M 50%, L 30%", item("tee", "2027-05", shares=SIZES)),
]
