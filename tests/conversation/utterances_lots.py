"""What is said of lots, and what it means: every sentence is invented."""

from decimal import Decimal

from assistant.conversation.order_requests import ChangeBooks, ShowLots
from assistant.conversation.requests import Request
from tests.conversation.meant import CADDY, MAY_PIN, NOTEBOOK, TEA

LOTS: list[tuple[str, Request]] = [
    ("one lot or several for the enamel pin", ShowLots(MAY_PIN)),
    ("one lot or several: enamel pin for 2027-05", ShowLots(MAY_PIN)),
    ("one lot or several for the pins?", ShowLots(MAY_PIN)),
    ("1 lot or 2 for pins", ShowLots(MAY_PIN)),
    ("one lot or sevral for the pin", ShowLots(MAY_PIN)),
    ("one order or several for the notebook", ShowLots(NOTEBOOK)),
    ("should I buy the mint tea at once", ShowLots(TEA)),
    ("should i buy the mint tea all at once?", ShowLots(TEA)),
    ("shuold i buy the mint tea at once", ShowLots(TEA)),
    ("should we order the pins together?", ShowLots(MAY_PIN)),
    ("order pins together?", ShowLots(MAY_PIN)),
    ("order the pins together", ShowLots(MAY_PIN)),
    ("buy all the pins at once?", ShowLots(MAY_PIN)),
    ("is it cheaper to buy the tea caddy in bulk", ShowLots(CADDY)),
    ("would it be cheaper to order the pins in one go", ShowLots(MAY_PIN)),
    ("does it pay to buy the pins together", ShowLots(MAY_PIN)),
    ("how often should I order the pins", ShowLots(MAY_PIN)),
    ("how many lots of pins", ShowLots(MAY_PIN)),
    ("lots for the enamel pin", ShowLots(MAY_PIN)),
    ("pins in one lot?", ShowLots(MAY_PIN)),
    ("one lot or several", ShowLots(NOTEBOOK)),
    ("should i buy it all at once", ShowLots(NOTEBOOK)),
    ("every way to buy the pins", ShowLots(MAY_PIN, whole=True)),
    ("every way to buy enamel pin for 2027-05", ShowLots(MAY_PIN, whole=True)),
    ("show me all ways to buy pins", ShowLots(MAY_PIN, whole=True)),
    ("storage costs 0.05 a piece a month", ChangeBooks(storage=Decimal("0.05"))),
    ("storage 5p a piece a month", ChangeBooks(storage=Decimal("0.05"))),
    ("storage costs 0.05 per piece per month", ChangeBooks(storage=Decimal("0.05"))),
    ("storge costs 0.05 a piece a month", ChangeBooks(storage=Decimal("0.05"))),
    ("keeping a piece costs 0.05 a month", ChangeBooks(storage=Decimal("0.05"))),
    ("storage is free", ChangeBooks(storage=Decimal(0))),
    ("storage costs nothing", ChangeBooks(storage=Decimal(0))),
    ("money costs 8% a year", ChangeBooks(interest=Decimal(8))),
    ("money costs us 8 percent a year", ChangeBooks(interest=Decimal(8))),
    ("mony costs 8% a year", ChangeBooks(interest=Decimal(8))),
    ("interest is 6.5% a year", ChangeBooks(interest=Decimal("6.5"))),
    ("interest 8%", ChangeBooks(interest=Decimal(8))),
    ("we pay 8% interest", ChangeBooks(interest=Decimal(8))),
    ("an order costs me 15 to place", ChangeBooks(order_cost=Decimal(15))),
    ("an order costs me £15", ChangeBooks(order_cost=Decimal(15))),
    ("each order costs us 15 to make", ChangeBooks(order_cost=Decimal(15))),
    ("placing an order costs 15", ChangeBooks(order_cost=Decimal(15))),
    ("palcing an order costs 15", ChangeBooks(order_cost=Decimal(15))),
    ("cost of an order: 15", ChangeBooks(order_cost=Decimal(15))),
]
