"""What people say of ways out for what is late: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone.
"""

from assistant.conversation.month_requests import Rescue, TakeRescue
from assistant.conversation.requests import Request
from tests.conversation.meant import BISCUITS, CADDY, HOLDER, NOTEBOOK, PENCIL, SEEDS, TEA

OF_ITEMS: list[tuple[str, Request]] = [
    ("what can I do about the notebook", Rescue(NOTEBOOK)),
    ("What can I do about the notebook?", Rescue(NOTEBOOK)),
    ("what can we do about the oat biscuits now", Rescue(BISCUITS)),
    ("what can i do abuot the notebook", Rescue(NOTEBOOK)),
    ("ways out for the notebook", Rescue(NOTEBOOK)),
    ("Ways out for notebok", Rescue(NOTEBOOK)),
    ("any way out for the candle holder?", Rescue(HOLDER)),
    ("what are my options for the mint tea", Rescue(TEA)),
    ("rescue the tea caddy", Rescue(CADDY)),
    ("resue the notebook", Rescue(NOTEBOOK)),
    ("how can I save the notebook", Rescue(NOTEBOOK)),
    ("the notebook will be late, what now", Rescue(NOTEBOOK)),
    ("notebook late what now", Rescue(NOTEBOOK)),
    ("the biscuits will be late", Rescue(BISCUITS)),
    ("the drawing pencils are late, what can I do?", Rescue(PENCIL)),
    ("the notebook won't make it", Rescue(NOTEBOOK)),
    ("biscuits wont be here in time, help", Rescue(BISCUITS)),
    ("what if the seed packet is late", Rescue(SEEDS)),
    ("what can be done about the seeds", Rescue(SEEDS)),
    ("rescue it", Rescue(NOTEBOOK)),
    ("what can I do about it", Rescue(NOTEBOOK)),
    ("ways out", Rescue(NOTEBOOK)),
]

OF_BOXES: list[tuple[str, Request]] = [
    ("rescue March", Rescue(box="2027-03")),
    ("Rescue march!", Rescue(box="2027-03")),
    ("resuce march", Rescue(box="2027-03")),
    ("ways out for May", Rescue(box="2027-05")),
    ("what can I do about March", Rescue(box="2027-03")),
    ("wht can i do about march", Rescue(box="2027-03")),
    ("what can we do about the March box", Rescue(box="2027-03")),
    ("how do I save May", Rescue(box="2027-05")),
    ("March will be late, what now", Rescue(box="2027-03")),
    ("march is late what now", Rescue(box="2027-03")),
    ("March can't ship complete", Rescue(box="2027-03")),
    ("may wont make it", Rescue(box="2027-05")),
    ("what are my options for September", Rescue(box="2027-09")),
]

TAKEN: list[tuple[str, Request]] = [
    ("wait for the notebook", TakeRescue(NOTEBOOK, "wait")),
    ("Wait for the notebook and ship late", TakeRescue(NOTEBOOK, "wait")),
    ("ship late because of the biscuits", TakeRescue(BISCUITS, "wait")),
    ("wiat for notebook", TakeRescue(NOTEBOOK, "wait")),
    ("faster carriage for the notebook", TakeRescue(NOTEBOOK, "faster")),
    ("pay for express delivery for the notebook", TakeRescue(NOTEBOOK, "faster")),
    ("send the tea caddy by air", TakeRescue(CADDY, "faster")),
    ("express shiping for the notebok", TakeRescue(NOTEBOOK, "faster")),
    ("split the delivery of the notebook", TakeRescue(NOTEBOOK, "split")),
    ("split the notebook delivery", TakeRescue(NOTEBOOK, "split")),
    ("splt the order of the biscuits", TakeRescue(BISCUITS, "split")),
    ("ask for part of the notebook first", TakeRescue(NOTEBOOK, "split")),
    ("pack twice for the notebook", TakeRescue(NOTEBOOK, "twice")),
    ("Pack twice because of the candle holder", TakeRescue(HOLDER, "twice")),
    ("send the notebook later on its own", TakeRescue(NOTEBOOK, "twice")),
    ("post the notebook separately", TakeRescue(NOTEBOOK, "twice")),
    ("post notebok separatly", TakeRescue(NOTEBOOK, "twice")),
    ("way out for field notebook for 2027-03: wait now", TakeRescue(NOTEBOOK, "wait", sure=True)),
]

RESCUE: list[tuple[str, Request]] = [*OF_ITEMS, *OF_BOXES, *TAKEN]
