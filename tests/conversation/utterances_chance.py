"""What people say of how likely a box is to be complete: every sentence is invented."""

from datetime import date
from decimal import Decimal

from assistant.conversation.month_requests import ShowChance
from assistant.conversation.requests import Request

NOTEBOOK, TEA = "2027-03.field notebook", "2027-05.mint tea"
MARCH = ShowChance(box="2027-03")
OF_NOTEBOOK, OF_TEA = ShowChance(item=NOTEBOOK), ShowChance(item=TEA)
SURE_95 = Decimal(95)
MARCH_95 = ShowChance(box="2027-03", confidence=SURE_95)
NOTEBOOK_95 = ShowChance(item=NOTEBOOK, confidence=SURE_95)
TODAY, JANUARY = date(2026, 11, 26), date(2027, 1, 20)

CHANCE: list[tuple[str, Request]] = [
    # a box
    ("will March be in on time", MARCH),
    ("will all of March be in on time?", MARCH),
    ("will everything be in for March", MARCH),
    ("how sure is March", MARCH),
    ("how sure are we of March", MARCH),
    ("how safe is the March box", MARCH),
    ("how likely is March to be complete", MARCH),
    ("how likely is it that all is in for March", MARCH),
    ("how likely is it that everything arrives in time for March", MARCH),
    ("how likely is it that march is complete", MARCH),
    ("chance of March", MARCH),
    ("what is the chance of March", MARCH),
    ("what are the odds for march", MARCH),
    ("chances for March", MARCH),
    ("what are the chances that all is in for March", MARCH),
    ("march odds", MARCH),
    ("how shure is march", MARCH),
    ("how likly is it that all is in for march", MARCH),
    ("chnace of march", MARCH),
    ("weak spot of March", MARCH),
    ("what's the weak spot in march", MARCH),
    ("which item should I worry about most in March", MARCH),
    ("how sure is it", OF_NOTEBOOK),
    ("how sure are we", MARCH),
    ("what are the odds", MARCH),
    # an item
    ("chance of the notebook", OF_NOTEBOOK),
    ("what are the chances of the notebook", OF_NOTEBOOK),
    ("how sure is the notebook", OF_NOTEBOOK),
    ("how likely is the mint tea to come in time", OF_TEA),
    ("how likely is it that the mint tea arrives in time", OF_TEA),
    ("will the mint tea make it", OF_TEA),
    ("will the mint tea arrive in time", OF_TEA),
    ("will the notebook come on time?", OF_NOTEBOOK),
    ("odds of notebok", OF_NOTEBOOK),
    ("chance of the May pin", ShowChance(item="2027-05.enamel pin")),
    # dates at a chance
    ("when must I order the notebook for 95%", NOTEBOOK_95),
    ("when must I order the notebook to be 95% sure", NOTEBOOK_95),
    ("by when should i order the notebook for 95 percent", NOTEBOOK_95),
    ("when do we have to order the notebook to be 19 in 20 sure", NOTEBOOK_95),
    ("when to order notebook for 95 pct", NOTEBOOK_95),
    ("order date of the notebook at 95%", NOTEBOOK_95),
    (
        "when must I order the mint tea for nine in ten",
        ShowChance(item=TEA, confidence=Decimal(90)),
    ),
    ("when must I order the mint tea for 120%", ShowChance(item=TEA, confidence=Decimal(120))),
    ("when must I order the mint tea to be 0% sure", ShowChance(item=TEA, confidence=Decimal(0))),
    (
        "when must I order the mint tea to be 100% sure",
        ShowChance(item=TEA, confidence=Decimal(100)),
    ),
    ("order dates for March at 95%", MARCH_95),
    ("when must I order for March to be 95% sure", MARCH_95),
    ("when must I order to be 95% sure of March", MARCH_95),
    ("dates for march at 95 %", MARCH_95),
    ("order dates for 95%", NOTEBOOK_95),
    ("and for 95%", NOTEBOOK_95),
    # an order on a day
    ("what if I order the notebook today", ShowChance(item=NOTEBOOK, on=TODAY)),
    ("what if we order the notebook on 20 January", ShowChance(item=NOTEBOOK, on=JANUARY)),
    ("if i order notebook 20 jan", ShowChance(item=NOTEBOOK, on=JANUARY)),
    ("what if i order the mint tea on 20 jan", ShowChance(item=TEA, on=JANUARY)),
    ("is it too late to order the notebook", ShowChance(item=NOTEBOOK, on=TODAY)),
    ("can I still order the mint tea", ShowChance(item=TEA, on=TODAY)),
]
