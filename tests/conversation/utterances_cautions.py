"""What people say of goods that carry duties, and what it means: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone.
"""

from assistant.conversation.month_requests import AnswerCaution, ShowCautions
from assistant.conversation.requests import Request
from tests.conversation.meant import BISCUITS, CADDY, HOLDER, NOTEBOOK, PENCIL, SEEDS, TEA

CELLS, FOOD, CANDLES = "lithium cells and batteries", "food and drink", "candles and incense"
GLASS, TOYS, KNIVES, SOWN = (
    "liquids and glass",
    "children's goods",
    "knives and blades",
    "seeds and plants",
)


def holds(item: str, goods: str) -> AnswerCaution:
    return AnswerCaution(item, goods, so=True)


def lacks(item: str, goods: str) -> AnswerCaution:
    return AnswerCaution(item, goods, so=False)


CAUTIONS: list[tuple[str, Request]] = [
    # what an item is made of
    ("the notebook has a lithium cell", holds(NOTEBOOK, CELLS)),
    ("notebook has a battery in it", holds(NOTEBOOK, CELLS)),
    ("there is a battery in the notebook", holds(NOTEBOOK, CELLS)),
    ("theres a batery in the notebook", holds(NOTEBOOK, CELLS)),
    ("the notbook contains a battery", holds(NOTEBOOK, CELLS)),
    ("it has a battery", holds(NOTEBOOK, CELLS)),
    ("it runs on batteries", holds(NOTEBOOK, CELLS)),
    ("the biscuits contain nuts", holds(BISCUITS, FOOD)),
    ("oat biscuits contian nuts", holds(BISCUITS, FOOD)),
    ("the tea caddy has tea in it", holds(CADDY, FOOD)),
    ("the candle holder is a candle", holds(HOLDER, CANDLES)),
    ("the candle holder is made of glass", holds(HOLDER, GLASS)),
    ("candle holder comes with tealights", holds(HOLDER, CANDLES)),
    ("there are seeds in the notebook", holds(NOTEBOOK, SOWN)),
    ("pencil is for children", holds(PENCIL, TOYS)),
    ("the drawing pencil is meant for kids", holds(PENCIL, TOYS)),
    ("the drawing pencil comes with a sharpener", holds(PENCIL, KNIVES)),
    ("no battery in the notebook", lacks(NOTEBOOK, CELLS)),
    ("no batery in the notebook", lacks(NOTEBOOK, CELLS)),
    ("there is no lithium cell in the notebook", lacks(NOTEBOOK, CELLS)),
    ("the notebook has no battery", lacks(NOTEBOOK, CELLS)),
    ("notebook doesnt have a battery", lacks(NOTEBOOK, CELLS)),
    ("there's no tea in the tea caddy", lacks(CADDY, FOOD)),
    ("tea caddy contains no tea", lacks(CADDY, FOOD)),
    ("the caddy is not food", lacks(CADDY, FOOD)),
    ("candle holder is without candles", lacks(HOLDER, CANDLES)),
    ("the candle holder isnt glass", lacks(HOLDER, GLASS)),
    ("the candle holder has not got a candle", lacks(HOLDER, CANDLES)),
    ("the drawing pencil is not for children", lacks(PENCIL, TOYS)),
    ("pencil isn't meant for kids", lacks(PENCIL, TOYS)),
    # what there is to check
    ("what must I check for the oat biscuits", ShowCautions(item=BISCUITS)),
    ("what do I need to check for the biscuits?", ShowCautions(item=BISCUITS)),
    ("what should i check before ordering the biscuits", ShowCautions(item=BISCUITS)),
    ("waht must i check for the biscuits", ShowCautions(item=BISCUITS)),
    ("what to check for the mint tea", ShowCautions(item=TEA)),
    ("cautions for the mint tea", ShowCautions(item=TEA)),
    ("cautoins for the mint tea", ShowCautions(item=TEA)),
    ("any cautions about the seed packet?", ShowCautions(item=SEEDS)),
    ("what is there to watch out for with the seed packet", ShowCautions(item=SEEDS)),
    ("may I post the seed packet?", ShowCautions(item=SEEDS)),
    ("can we send the oat biscuits", ShowCautions(item=BISCUITS)),
    ("am i allowed to ship the seed packet", ShowCautions(item=SEEDS)),
    ("is it ok to sell the mint tea", ShowCautions(item=TEA)),
    ("what must I check for it", ShowCautions(item=NOTEBOOK)),
    ("cautions for May", ShowCautions(box="2027-05")),
    ("cautions for may?", ShowCautions(box="2027-05")),
    ("caution for march", ShowCautions(box="2027-03")),
    ("what must I check for March", ShowCautions(box="2027-03")),
    ("what do i have to check before packing March", ShowCautions(box="2027-03")),
    ("May cautions", ShowCautions(box="2027-05")),
    ("cautions", ShowCautions()),
    ("show me all cautions", ShowCautions()),
    ("cautoins", ShowCautions()),
    ("what should I look out for", ShowCautions()),
    ("what cautions are there?", ShowCautions()),
    ("dangerous goods", ShowCautions()),
    ("anything hazardous in the plan?", ShowCautions()),
]
