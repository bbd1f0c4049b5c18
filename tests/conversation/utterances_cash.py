"""What people say of money in and out and of terms: every sentence is invented."""

from datetime import date
from decimal import Decimal
from typing import Any

from assistant.conversation.order_requests import (
    ChangeBooks,
    SetTerms,
    ShowCash,
    Tightest,
    WhatMovesCash,
    WorthOfTerms,
)
from assistant.conversation.requests import ChangeSupplier, Request
from assistant.planning.model import Spend
from tests.conversation.meant import TODAY

JUNE = date(2027, 6, 30)


def bank(amount: str, on: date = TODAY) -> ChangeBooks:
    return ChangeBooks(bank=Decimal(amount), bank_on=on)


def terms(supplier: str = "Aldermoor", **said: Any) -> SetTerms:
    return SetTerms(supplier, **said)


def early(percent: str = "2", days: int = 10, net: int | None = 30, **said: Any) -> SetTerms:
    return terms(early_percent=Decimal(percent), early_days=days, net_days=net, **said)


_CASH: list[tuple[str, Request]] = [
    ("cash", ShowCash()),
    ("the cash please", ShowCash()),
    ("cash flow", ShowCash()),
    ("csh flow", ShowCash()),
    ("show me the cashflow", ShowCash()),
    ("money in and out", ShowCash()),
    ("mony in and out", ShowCash()),
    ("how is the cash looking?", ShowCash()),
    ("what comes in and goes out", ShowCash()),
    ("cash by month", ShowCash()),
    ("cash by week", ShowCash("week")),
    ("cahs by week", ShowCash("week")),
    ("cash wekly", ShowCash("week")),
    ("show the cash week by week", ShowCash("week")),
    ("cash until June", ShowCash(last=JUNE)),
    ("show me the cashflow till june pls", ShowCash(last=JUNE)),
    ("cash by week until June", ShowCash("week", last=JUNE)),
    ("cash from 1 March to June", ShowCash(first=date(2027, 3, 1), last=JUNE)),
    ("cash until 2028", ShowCash(last=date(2028, 12, 31))),
    ("cash curve", ShowCash(picture=True)),
    ("draw the cash", ShowCash(picture=True)),
    ("cash as a picture", ShowCash(picture=True)),
    ("pic of the cash", ShowCash(picture=True)),
    ("picture of the money", ShowCash(picture=True)),
    ("cash curve until June", ShowCash(last=JUNE, picture=True)),
    ("when is money tightest", Tightest()),
    ("whens money tightest", Tightest()),
    ("wen is cash tightest?", Tightest()),
    ("when is money tigthest", Tightest()),
    ("when will the cash be lowest", Tightest()),
    ("will we run out of money?", Tightest()),
    ("do we have enough cash", Tightest()),
    ("is there enough money for the year", Tightest()),
    ("lowest point", Tightest()),
    ("what is the lowest point of the cash", Tightest()),
    ("can we afford the year?", Tightest()),
    ("when do we run out of money", Tightest()),
    ("what would help", WhatMovesCash()),
    ("what would help the cash", WhatMovesCash()),
    ("waht moves the cash most", WhatMovesCash()),
    ("what moves cash", WhatMovesCash()),
    ("what could lift the lowest point", WhatMovesCash()),
    ("what wuold ease the cash", WhatMovesCash()),
    ("how can we lift the lowest point", WhatMovesCash()),
    ("how can we improve cash flow", WhatMovesCash()),
    ("what could help most?", WhatMovesCash()),
    ("what can ease the money most", WhatMovesCash()),
    ("waht would raise the lowest point", WhatMovesCash()),
    ("how could i help the cash", WhatMovesCash()),
]
_BOOKS: list[tuple[str, Request]] = [
    ("we have 4,200 in the bank", bank("4200")),
    ("4,200 in the bank", bank("4200")),
    ("there is £4,200.50 in the bank now", bank("4200.50")),
    ("bank balance 4200", bank("4200")),
    ("bank: -250", bank("-250")),
    ("the bank is at 1.250,00", bank("1250.00")),
    ("we had 3900 in the bank on 20 November", bank("3900", date(2026, 11, 20))),
    ("we have 0 in the bank", bank("0")),
    ("we're 300 overdrawn", bank("-300")),
    ("we are overdrawn by 300", bank("-300")),
    ("renewals on the 1st", ChangeBooks(charge_day=1)),
    ("renewals are charged on the 5th of the month", ChangeBooks(charge_day=5)),
    ("we charge on the last day", ChangeBooks(charge_day=31)),
    ("charge day 28", ChangeBooks(charge_day=28)),
    ("payouts take 3 days", ChangeBooks(payout_days=3)),
    ("we are paid out after 2 days", ChangeBooks(payout_days=2)),
    ("paid out 4 days later", ChangeBooks(payout_days=4)),
    ("payuots take 3 days", ChangeBooks(payout_days=3)),
    ("overheads 600 a month", ChangeBooks(overhead=Decimal(600))),
    ("overhead 900 a month", ChangeBooks(overhead=Decimal(900))),
    ("ovreheads 600 pm", ChangeBooks(overhead=Decimal(600))),
    ("our fixed costs are £450 a month", ChangeBooks(overhead=Decimal(450))),
]
_TERMS: list[tuple[str, Request]] = [
    ("Aldermoor 2/10 net 30", early()),
    ("aldermoor terms are 2/10, net 30", early()),
    ("Aldermoor 2/10 n30", early()),
    ("aldermor 2/10 net 30", early()),
    ("Aldermoor 2%/10 net 30 days", early()),
    ("Aldermoor 2/10 net 30 eom", early(end_of_month=True)),
    ("Aldermoor 1.5% off if paid within 7 days, net 60", early("1.5", 7, 60)),
    ("Aldermoor gives 2% off within 10 days", early(net=None)),
    ("Aldermoor 3/14", early("3", 14, None)),
    ("Aldermoor no early discount", terms(early_percent=Decimal(0))),
    ("Aldermoor net 30 end of month", terms(net_days=30, end_of_month=True)),
    ("aldermor net 30 eom", terms(net_days=30, end_of_month=True)),
    ("Aldermoor 30 days after the end of the month", terms(net_days=30, end_of_month=True)),
    ("aldermoor eom plus 15", terms(net_days=15, end_of_month=True)),
    ("Aldermoor end of month", terms(net_days=0, end_of_month=True)),
    ("Aldermoor terms 14 days", ChangeSupplier("Aldermoor", net_days=14)),
    (
        "Aldermoor carriage 25, free from 500",
        terms(carriage=Decimal(25), free_from=Decimal(500)),
    ),
    ("Aldermoor carriage 25", terms(carriage=Decimal(25))),
    (
        "hangfeng freight 80 free over 1500",
        terms("Hangfeng", carriage=Decimal(80), free_from=Decimal(1500)),
    ),
    ("Aldermoor charges £25 for delivery", terms(carriage=Decimal(25))),
    ("Aldermoor carriage free", terms(carriage=Decimal(0))),
    ("aldermoor carrage 25", terms(carriage=Decimal(25))),
    ("Aldermoor delivers free from 400", terms(free_from=Decimal(400))),
    ("Aldermoor minimum order 300", terms(minimum_value=Decimal(300))),
    ("aldermoor min order value £300", terms(minimum_value=Decimal(300))),
    ("the minimum order at Aldermoor is 250", terms(minimum_value=Decimal(250))),
    ("Aldermoor prices are in euros", terms(currency="EUR")),
    ("Hangfeng charges in dollars", terms("Hangfeng", currency="USD")),
    ("we pay Hangfeng in USD", terms("Hangfeng", currency="USD")),
    ("duty on Hangfeng 4%", terms("Hangfeng", duty=Decimal(4))),
    ("dutty on hangfeng 4", terms("Hangfeng", duty=Decimal(4))),
    ("duty for goods from Hangfeng is 2.7%", terms("Hangfeng", duty=Decimal("2.7"))),
    ("hangfeng duty free", terms("Hangfeng", duty=Decimal(0))),
    (
        "Aldermoor takes 5% off from 2000 a year",
        terms(spend=Spend(Decimal(2000), Decimal(5))),
    ),
    ("Aldermoor 5% off over 2,000 a year", terms(spend=Spend(Decimal(2000), Decimal(5)))),
    (
        "aldermoor gives us 3 percent discount above 1500 per year",
        terms(spend=Spend(Decimal(1500), Decimal(3))),
    ),
    ("is paying Aldermoor early worth it", WorthOfTerms("aldermoor")),
    ("is paying aldermor early worth it?", WorthOfTerms("aldermoor")),
    ("should we pay Aldermoor early", WorthOfTerms("aldermoor")),
    ("shuold i pay aldermoor early", WorthOfTerms("aldermoor")),
    ("is Aldermoor's discount worth it", WorthOfTerms("aldermoor")),
    ("are aldermoors terms worth taking", WorthOfTerms("aldermoor")),
    ("what is paying Aldermoor early worth", WorthOfTerms("aldermoor")),
    ("what is Aldermoor's discount worth", WorthOfTerms("aldermoor")),
    ("value of paying hangfeng early", WorthOfTerms("hangfeng")),
    ("pay Aldermoor early or late?", WorthOfTerms("aldermoor")),
    ("is payng hangfeng early worthwhile", WorthOfTerms("hangfeng")),
    ("would paying Aldermoor early be worth it", WorthOfTerms("aldermoor")),
]
CASH: list[tuple[str, Request]] = [*_CASH, *_BOOKS, *_TERMS]
