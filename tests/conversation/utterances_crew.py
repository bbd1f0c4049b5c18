"""What people say of who does what: every sentence is invented."""

from datetime import date

from assistant.conversation.month_requests import GiveTo, LetSeeMoney, PersonOff, WhoDid
from assistant.conversation.requests import Request
from assistant.planning.model import Closure
from tests.conversation.meant import HOLDER, NOTEBOOK, ORDER, PACK, PENCIL, STOCK, TODAY

ANNA, JO, MARA = "p2", "p3", "p1"
MARCH_2_TO_6 = Closure("closed", date(2027, 3, 2), date(2027, 3, 6))


def off(person: str, first: date, last: date | None, reason: str = "closed") -> PersonOff:
    return PersonOff(person, Closure(reason, first, last))


def back(person: str, day: date) -> PersonOff:
    return PersonOff(person, back=day)


GIVING: list[tuple[str, Request]] = [
    ("give packing March to Anna", GiveTo((PACK,), ANNA)),
    ("give 1 to Anna", GiveTo((ORDER,), ANNA)),
    ("give 1 and 2 to jo", GiveTo((ORDER, PACK), JO)),
    ("assign order notebook to Anna", GiveTo((ORDER,), ANNA)),
    ("hand packing march over to anna", GiveTo((PACK,), ANNA)),
    ("give 3 to me", GiveTo((STOCK,), MARA)),
    ("Anna orders the notebook", GiveTo((ORDER,), ANNA)),
    ("jo will order the notebook", GiveTo((ORDER,), JO)),
    ("anna packs march", GiveTo((PACK,), ANNA)),
    ("let Jo pack March", GiveTo((PACK,), JO)),
    ("Anna is packing March", GiveTo((PACK,), ANNA)),
    ("jo is to order the candle holder", GiveTo((f"{HOLDER}/order",), JO)),
    ("nudge Anna about the notebook", GiveTo((ORDER,), ANNA)),
    ("nudge Anna alone about packing March", GiveTo((PACK,), ANNA)),
    ("remind Jo of packing March", GiveTo((PACK,), JO)),
    ("nudge anna abuot packing march", GiveTo((PACK,), ANNA)),
    ("nudge me about packing March", GiveTo((PACK,), MARA)),
    ("Jo takes care of packing March", GiveTo((PACK,), JO)),
    ("packing March is for Jo", GiveTo((PACK,), JO)),
    ("jo does 2", GiveTo((PACK,), JO)),
    ("nudge everybody about packing March", GiveTo((PACK,), "")),
    ("nudge everyone about 1", GiveTo((ORDER,), "")),
    ("give packing March back to everybody", GiveTo((PACK,), "")),
    ("give 1 to everyone", GiveTo((ORDER,), "")),
    ("packing March is everybody's again", GiveTo((PACK,), "")),
    ("take packing March away from Anna", GiveTo((PACK,), "")),
    ("remind us all of packing march", GiveTo((PACK,), "")),
]

MONEY: list[tuple[str, Request]] = [
    ("Anna may see money", LetSeeMoney(ANNA, may=True)),
    ("anna may see the money", LetSeeMoney(ANNA, may=True)),
    ("Anna can see prices", LetSeeMoney(ANNA, may=True)),
    ("let Anna see money", LetSeeMoney(ANNA, may=True)),
    ("let anna see the prices too", LetSeeMoney(ANNA, may=True)),
    ("Jo is allowed to see costs", LetSeeMoney(JO, may=True)),
    ("show Jo the prices", LetSeeMoney(JO, may=True)),
    ("Anna may not see money", LetSeeMoney(ANNA, may=False)),
    ("anna cant see prices any more", LetSeeMoney(ANNA, may=False)),
    ("Anna should not see the costs", LetSeeMoney(ANNA, may=False)),
    ("don't let Jo see money", LetSeeMoney(JO, may=False)),
    ("dont let jo see the prices", LetSeeMoney(JO, may=False)),
    ("hide money from Anna", LetSeeMoney(ANNA, may=False)),
    ("keep the prices from jo", LetSeeMoney(JO, may=False)),
    ("no money for Jo", LetSeeMoney(JO, may=False)),
    ("Jo may no longer see money", LetSeeMoney(JO, may=False)),
]

AWAY: list[tuple[str, Request]] = [
    ("Anna is off 2-6 March", PersonOff(ANNA, MARCH_2_TO_6)),
    ("anna off 2-6 march", PersonOff(ANNA, MARCH_2_TO_6)),
    ("Anna's off 2-6 March", PersonOff(ANNA, MARCH_2_TO_6)),
    ("Anna will be away from 2 to 6 March", PersonOff(ANNA, MARCH_2_TO_6)),
    ("jo is on holiday 2-6 March", PersonOff(JO, MARCH_2_TO_6)),
    ("Jo is off sick today", off(JO, TODAY, TODAY)),
    ("Jo is ill today", off(JO, TODAY, TODAY)),
    ("anna isnt here 2-6 march", PersonOff(ANNA, MARCH_2_TO_6)),
    ("Anna does not work on 24 December", off(ANNA, date(2026, 12, 24), date(2026, 12, 24))),
    ("anna cant work 24 dec", off(ANNA, date(2026, 12, 24), date(2026, 12, 24))),
    ("Jo has 2-6 March off", PersonOff(JO, MARCH_2_TO_6)),
    ("Jo takes time off 2-6 March", PersonOff(JO, MARCH_2_TO_6)),
    ("Anna's holiday: 2-6 March", PersonOff(ANNA, MARCH_2_TO_6)),
    ("Anna is away from 2 March", off(ANNA, date(2027, 3, 2), None)),
    ("Anna is back on 4 March", back(ANNA, date(2027, 3, 4))),
    ("anna back on 4 march", back(ANNA, date(2027, 3, 4))),
    ("Jo is back", back(JO, TODAY)),
    ("jo's back tomorrow", back(JO, date(2026, 11, 27))),
    ("Jo is back from Monday", back(JO, date(2026, 11, 30))),
    ("Anna works again on 4 March", back(ANNA, date(2027, 3, 4))),
    ("Anna is here on 4 March", back(ANNA, date(2027, 3, 4))),
    ("anna comes back on 4 march", back(ANNA, date(2027, 3, 4))),
]

DEEDS: list[tuple[str, Request]] = [
    ("who ordered the notebook", WhoDid(item=NOTEBOOK)),
    ("who orderd the notebook?", WhoDid(item=NOTEBOOK)),
    ("who bought the drawing pencil", WhoDid(item=PENCIL)),
    ("who received the candle holder", WhoDid(item=HOLDER)),
    ("who packed March", WhoDid(box="2027-03")),
    ("who packed the march box", WhoDid(box="2027-03")),
    ("who shipped February", WhoDid(box="2027-02")),
    ("who did what for March", WhoDid(box="2027-03")),
    ("who did what for field notebook for 2027-03", WhoDid(item=NOTEBOOK)),
    ("who changed the notebook", WhoDid(item=NOTEBOOK)),
    ("who is working on the notebook", WhoDid(item=NOTEBOOK)),
    ("what did Anna do", WhoDid(person=ANNA)),
    ("what did jo do this week", WhoDid(person=JO)),
    ("what has Anna done", WhoDid(person=ANNA)),
    ("what has anna been up to", WhoDid(person=ANNA)),
    ("who did what", WhoDid()),
    ("who has done what?", WhoDid()),
]

CREW: list[tuple[str, Request]] = [*GIVING, *MONEY, *AWAY, *DEEDS]
