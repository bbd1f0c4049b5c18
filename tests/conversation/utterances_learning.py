"""What people say of what a box taught: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone.
"""

from datetime import date
from decimal import Decimal
from typing import Any

from assistant.conversation.month_requests import (
    KeepLeftovers,
    LookBack,
    NoteOpinion,
    ShowLessons,
    ShowRecord,
    ShowStock,
    UseStock,
)
from assistant.conversation.requests import Request
from tests.conversation.meant import BISCUITS, HOLDER, MUGS, NOTEBOOK, NOTEBOOKS, TEA

MARCH = LookBack("2027-03")
RECORD = ShowRecord("aldermoor")
LEFT = KeepLeftovers(NOTEBOOK, 38)


def said(item: str, score: str = "", **more: Any) -> NoteOpinion:
    """What was said of an item, whose id begins with its box."""
    return NoteOpinion(item[:7], item, Decimal(score) if score else None, **more)


LEARNING: list[tuple[str, Request]] = [
    # a box looked back on
    ("how did March go", MARCH),
    ("how did march go?", MARCH),
    ("how did mar go", MARCH),
    ("how did the March box go", MARCH),
    ("how did March turn out", MARCH),
    ("look back on March", MARCH),
    ("lookback on march", MARCH),
    ("loook back on march", MARCH),
    ("how was March?", MARCH),
    ("how was the march box", MARCH),
    ("review of March", MARCH),
    ("March in hindsight", MARCH),
    ("what came of March", MARCH),
    ("march, plan against actual", MARCH),
    ("how did May 2027 compare with the plan", LookBack("2027-05")),
    ("look back on 2027-03 item by item", LookBack("2027-03", whole=True)),
    # a supplier's record
    ("Aldermoor's record", RECORD),
    ("aldermoors record", RECORD),
    ("how reliable is Aldermoor", RECORD),
    ("how reliabel is aldermoor?", RECORD),
    ("how relaible is Aldermor", RECORD),
    ("how punctual is Aldermoor usually", RECORD),
    ("is Aldermoor reliable?", RECORD),
    ("is aldermoor usually late", RECORD),
    ("record of Aldermoor", RECORD),
    ("track record of aldermoor", RECORD),
    ("does Aldermoor deliver on time?", RECORD),
    ("does Aldermoor keep its promises", RECORD),
    ("how long does Aldermoor really take", RECORD),
    ("show me Hangfeng's track record", ShowRecord("hangfeng")),
    ('the record of "Aldermoor"', RECORD),
    # left over
    ("38 notebooks left over from March", LEFT),
    ("38 notbooks left over from march", LEFT),
    ("38 notebook left from mar", LEFT),
    ("we have 38 notebooks left from March", LEFT),
    ("we still have 38 notebooks left over from March.", LEFT),
    ("there are 38 field notebooks over from March", LEFT),
    ("38 leftover notebooks from March", LEFT),
    ("38 spare notebooks from march", LEFT),
    ("leftovers from March: 38 notebooks", LEFT),
    ("left over from march: 38 notebooks", LEFT),
    ("38 field notebooks unused from March", LEFT),
    ("keep 38 notebooks from March in stock", LEFT),
    ("38 left over of field notebook for 2027-03", LEFT),
    ("no notebooks left over from March", KeepLeftovers(NOTEBOOK, 0)),
    ("6 candle holders left over from February", KeepLeftovers(HOLDER, 6)),
    (
        "20 biscuits left over from March, best before 3 April 2027",
        KeepLeftovers(BISCUITS, 20, date(2027, 4, 3)),
    ),
    # what there is
    ("what is left over", ShowStock()),
    ("what's left over?", ShowStock()),
    ("whats left over", ShowStock()),
    ("waht is left over", ShowStock()),
    ("what do we have left over", ShowStock()),
    ("anything left over?", ShowStock()),
    ("leftovers", ShowStock()),
    ("left overs", ShowStock()),
    ("show leftovers", ShowStock()),
    ("show me the left-overs", ShowStock()),
    ("list leftovers", ShowStock()),
    ("show stock", ShowStock()),
    ("which leftovers are there", ShowStock()),
    ("what is in stock", ShowStock()),
    ("what can we use up?", ShowStock()),
    # used again
    ("use 12 of the leftover tin mugs in May", UseStock(MUGS, "2027-05", 12)),
    ("use 12 of the left over tin mugs in may", UseStock(MUGS, "2027-05", 12)),
    ("use 12 of the leftover mugs in May", UseStock(MUGS, "2027-05", 12)),
    ("use 12 leftover mugs in may", UseStock(MUGS, "2027-05", 12)),
    ("use 12 leftover mugs for May", UseStock(MUGS, "2027-05", 12)),
    ("use the leftover mugs in May", UseStock(MUGS, "2027-05")),
    ("use all the leftover mugs in may", UseStock(MUGS, "2027-05")),
    ("use up the leftover mugs in May", UseStock(MUGS, "2027-05")),
    ("use up the tin mugs in May", UseStock(MUGS, "2027-05")),
    ("put 12 leftover tin mugs into may", UseStock(MUGS, "2027-05", 12)),
    ("use 12 mugs from stock in May", UseStock(MUGS, "2027-05", 12)),
    ("use the mugs from stock in may", UseStock(MUGS, "2027-05")),
    ("use 30 of the spare field notebooks in March", UseStock(NOTEBOOKS, "2027-03", 30)),
    ("pack 5 of our leftover notebooks in march", UseStock(NOTEBOOKS, "2027-03", 5)),
    # what subscribers said
    ("subscribers loved the notebook", said(NOTEBOOK, words="loved")),
    ("subscribers loved the notbook", said(NOTEBOOK, words="loved")),
    ("everyone loved the mint tea", said(TEA, words="loved")),
    ("they loved it", said(NOTEBOOK, words="loved")),
    ("people really liked the oat biscuits", said(BISCUITS, words="liked")),
    ("customers didn't like the biscuits", said(BISCUITS, words="disliked")),
    ("the biscuits were a flop", said(BISCUITS, words="disliked")),
    ("the notebook was a hit", said(NOTEBOOK, words="loved")),
    ("mint tea went down well", said(TEA, words="liked")),
    ("subscribers said of the biscuits: too dry", said(BISCUITS, words="too dry")),
    ("mint tea scored 4.6 from 38 answers", said(TEA, "4.6", answers=38)),
    ("mint tea scored 4,6 from 38", said(TEA, "4.6", answers=38)),
    ("the mint tea scored 4.6, from 38 people", said(TEA, "4.6", answers=38)),
    ("the biscuits got 2 of 5", said(BISCUITS, "2")),
    ("biscuits got 2/5", said(BISCUITS, "2")),
    ("the biscuits got 2 out of 5", said(BISCUITS, "2")),
    ("notebook got 8 out of 10 from 20 answers", said(NOTEBOOK, "8", of=10, answers=20)),
    ("notebok scored 8 of 10", said(NOTEBOOK, "8", of=10)),
    ("score of the notebook: 4.2", said(NOTEBOOK, "4.2")),
    ("subscribers gave the notebook 4.5", said(NOTEBOOK, "4.5")),
    ("38 subscribers gave the notebook 4.5 of 5", said(NOTEBOOK, "4.5", answers=38)),
    ("notebook was rated 4 stars", said(NOTEBOOK, "4")),
    ("March scored 4.1", NoteOpinion("2027-03", score=Decimal("4.1"))),
    ("the march box scored 4.1 from 60 answers", NoteOpinion("2027-03", "", Decimal("4.1"), 5, 60)),
    ("subscribers loved March", NoteOpinion("2027-03", words="loved")),
    (
        "field notebook for 2027-03 scored 4.6 of 5 from 38 answers",
        said(NOTEBOOK, "4.6", answers=38),
    ),
    # lessons
    ("what did we learn", ShowLessons()),
    ("what did we learn?", ShowLessons()),
    ("waht did we learn", ShowLessons()),
    ("what have we learnt so far", ShowLessons()),
    ("what did we learn from last year", ShowLessons(2025)),
    ("lessons", ShowLessons()),
    ("lessons of 2026", ShowLessons(2026)),
    ("lesons of 2026", ShowLessons(2026)),
    ("show me the lessons from 2026", ShowLessons(2026)),
    ("what was loved", ShowLessons()),
    ("what was loved in 2026", ShowLessons(2026)),
    ("what did subscribers like best", ShowLessons()),
    ("what did they like", ShowLessons()),
    ("which items were loved", ShowLessons()),
    ("what went down well?", ShowLessons()),
    ("what did last year teach us", ShowLessons(2025)),
]
