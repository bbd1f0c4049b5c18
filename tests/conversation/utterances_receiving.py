"""What people say of what was ordered and came: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone.
"""

from datetime import date
from decimal import Decimal
from typing import Any

from assistant.conversation.month_requests import (
    ItemArrived,
    ItemChecked,
    ItemDispatched,
    ItemOrdered,
    ItemPromised,
    ItemStory,
)
from assistant.conversation.requests import Request
from tests.conversation.meant import BISCUITS, CADDY, HOLDER, NOTEBOOK, PENCIL, SEEDS, TEA, TODAY

MARCH_3, MARCH_9 = date(2027, 3, 3), date(2027, 3, 9)
YESTERDAY = date(2026, 11, 25)


def ordered(quantity: int | None = None, item: str = NOTEBOOK, **told: Any) -> ItemOrdered:
    return ItemOrdered(item, quantity, **told)


def came(pieces: int | None = None, item: str = NOTEBOOK, **told: Any) -> ItemArrived:
    return ItemArrived(item, pieces, **told)


PRICE = Decimal("2.95")

RECEIVING: list[tuple[str, Request]] = [
    # ordered
    ("ordered 460 notebooks, they say 3 March", ordered(460, promised=MARCH_3)),
    ("ordred 460 notebooks, they say 3 march", ordered(460, promised=MARCH_3)),
    ("orderd 460 notebooks they say 3 mar", ordered(460, promised=MARCH_3)),
    ("ordered 460 notebooks and they say 3/3", ordered(460, promised=MARCH_3)),
    ("i've ordered 460 notebooks, due 3 March", ordered(460, promised=MARCH_3)),
    ("ordered the notebooks, promised for 3 March", ordered(promised=MARCH_3)),
    ("ordered 460 notebooks at 2.95", ordered(460, price=PRICE)),
    ("ordered 460 x notebook @ £2.95", ordered(460, price=PRICE, currency="GBP")),
    ("bought 460 notebooks for 2.95 each", ordered(460, price=PRICE)),
    ("ordered 460 notebooks for £1,357 in all", ordered(460, price=PRICE, currency="GBP")),
    ("ordered the notebook, 460 at 2.95, ref HF-2",
     ordered(460, price=PRICE, reference="HF-2")),
    ("ordered notebooks from Aldermoor, 460, ref. A 17", ordered(460, reference="A 17")),
    ("ordered notebooks from aldermoor, 460 pieces", ordered(460)),
    ("ordered the candle holder yesterday", ordered(item=HOLDER, on=YESTERDAY)),
    ("I ordered 430 mint tea on 20 November", ordered(430, TEA, on=date(2026, 11, 20))),
    ("placed the order for 430 mint tea, they say 4 May",
     ordered(430, TEA, promised=date(2027, 5, 4))),
    ("the caddy is ordered", ordered(item=CADDY)),
    ("460 notebooks ordered, due 3 March, 2.95 each", ordered(460, price=PRICE, promised=MARCH_3)),
    ("ordered: field notebook for 2027-03, 460 pieces, at 2.95 GBP, promised 2027-03-03 now",
     ordered(460, price=PRICE, currency="GBP", promised=MARCH_3, sure=True)),
    # promised
    ("notebooks now the 9th of March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("notebooks now 9 March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("notebok now 9 mar", ItemPromised(NOTEBOOK, MARCH_9)),
    ("biscuits now the 9th", ItemPromised(BISCUITS, date(2026, 12, 9))),
    ("notebooks delayed to 9 March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("notebooks delayd until 9 march", ItemPromised(NOTEBOOK, MARCH_9)),
    ("the notebooks are put back to 9 March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("notebooks will come on 9 March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("the notebooks are due on 9 March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("notebooks expected 9 march", ItemPromised(NOTEBOOK, MARCH_9)),
    ("they say 9 March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("they now say 9 march", ItemPromised(NOTEBOOK, MARCH_9)),
    ("they say 9 March for the notebooks", ItemPromised(NOTEBOOK, MARCH_9)),
    ("notebooks: they say 9 March", ItemPromised(NOTEBOOK, MARCH_9)),
    ("notebooks delayed by a week", ItemPromised(NOTEBOOK, days=7)),
    ("notebooks delayed 3 days", ItemPromised(NOTEBOOK, days=3)),
    ("notebooks 3 days late", ItemPromised(NOTEBOOK, days=3)),
    # dispatched
    ("notebooks dispatched yesterday, tracking 12345",
     ItemDispatched(NOTEBOOK, YESTERDAY, tracking="12345")),
    ("notebooks despatched, tracking no 12345", ItemDispatched(NOTEBOOK, tracking="12345")),
    ("notebooks dispatchd yesterday", ItemDispatched(NOTEBOOK, YESTERDAY)),
    ("the seeds have left the supplier", ItemDispatched(SEEDS)),
    ("seeds are on their way, due 9 March", ItemDispatched(SEEDS, promised=MARCH_9)),
    ("they have sent off the seeds", ItemDispatched(SEEDS)),
    # arrived
    ("notebooks: 412 of 460 came, 6 bent", came(412, of=460, damaged=6, note="bent")),
    ("notebooks: 412 came, 6 bent", came(412, damaged=6, note="bent")),
    ("notebooks, 412 arrived", came(412)),
    ("notebooks 412 of 460 came, 6 bent", came(412, of=460, damaged=6, note="bent")),
    ("412 of 460 notebooks came, 6 bent", came(412, of=460, damaged=6, note="bent")),
    ("412/460 notebooks arrived, 6 of them bent", came(412, of=460, damaged=6, note="bent")),
    ("412 of the 460 notebooks came and 6 bent", came(412, of=460, damaged=6, note="bent")),
    ("412 notebooks came", came(412)),
    ("412 noteboks came", came(412)),
    ("only 412 notebooks came", came(412)),
    ("412 came", came(412)),
    ("412 notebooks arived yesterday", came(412, on=YESTERDAY)),
    ("412 notebooks came yesterday, 6 damaged", came(412, on=YESTERDAY, damaged=6)),
    ("received 412 notebooks, none broken", came(412, damaged=0)),
    ("recieved 412 notebooks, 6 wet", came(412, damaged=6, note="wet")),
    ("the notebooks came, all good", came(damaged=0)),
    ("the notebooks came, 48 missing", came(missing=48)),
    ("notebooks came, 2 broken", came(damaged=2, note="broken")),
    ("the rest of the notebooks came", came()),
    ("rest of the notebooks arrived", came()),
    ("the other 48 notebooks came", came(48)),
    ("all 460 notebooks came", came(460)),
    ("the mint tea came", came(item=TEA)),
    ("mint tea turned up today", came(item=TEA, on=TODAY)),
    ("it came", came()),
    ("one notebook came", came(1)),
    ("no notebooks came", came(0)),
    ("notebooks arrived 412", came(412)),
    ("notebooks came in, 5 broken, rest fine", came(damaged=5, note="broken")),
    ("pencils came on 20 November", came(item=PENCIL, on=date(2026, 11, 20))),
    ("arrived: field notebook for 2027-03, 412 of 460 came, 6 bent now",
     came(412, of=460, damaged=6, note="bent", sure=True)),
    # checked
    ("notebooks checked, all good", ItemChecked(NOTEBOOK)),
    ("notebooks chekced, all good", ItemChecked(NOTEBOOK)),
    ("notebooks checked", ItemChecked(NOTEBOOK)),
    ("checked the notebooks", ItemChecked(NOTEBOOK)),
    ("I checked the notebooks, 6 bent", ItemChecked(NOTEBOOK, 6, "bent")),
    ("the notebooks are checked and all fine", ItemChecked(NOTEBOOK)),
    # the story
    ("how far are the notebooks", ItemStory(NOTEBOOK)),
    ("how far are the notebooks?", ItemStory(NOTEBOOK)),
    ("how far is the mint tea", ItemStory(TEA)),
    ("story of the notebooks", ItemStory(NOTEBOOK)),
    ("stroy of the notebooks", ItemStory(NOTEBOOK)),
    ("where are the notebooks?", ItemStory(NOTEBOOK)),
    ("wheres the mint tea", ItemStory(TEA)),
    ("what happened to the caddy?", ItemStory(CADDY)),
    ("status of the notebook", ItemStory(NOTEBOOK)),
    ("notebook status", ItemStory(NOTEBOOK)),
    ("any news of the notebooks?", ItemStory(NOTEBOOK)),
    ("have the notebooks arrived?", ItemStory(NOTEBOOK)),
    ("did the notebooks come?", ItemStory(NOTEBOOK)),
    ("are the notebooks here yet?", ItemStory(NOTEBOOK)),
]  # fmt: skip
