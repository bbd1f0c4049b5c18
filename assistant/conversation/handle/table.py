"""Which function handles which request.

Knows: every room of handle/. Must not know: anything else. Invariant: there is exactly one
function for every request (tested).
"""

from assistant.conversation.handle import (
    answers,
    backup,
    bargaining,
    calendar,
    cash,
    cautions,
    chance,
    contents,
    costs,
    counting,
    counting_in,
    crew,
    doors,
    files,
    help,
    history,
    ideas,
    learning,
    lots,
    nudging,
    orders,
    packing,
    page,
    plan,
    quantities,
    rearranging,
    receiving,
    rescue,
    sheet,
    sitting,
    spreading,
    suppliers,
    types,
    variants,
    workbook,
)
from assistant.conversation.handle import shop as shop_
from assistant.conversation.handle.asked import Handler
from assistant.conversation.requests import (
    AddItem,
    BringIdeaBack,
    BringIn,
    ChangeItem,
    ChangeMornings,
    ChangeShop,
    ChangeSupplier,
    Close,
    DropItem,
    KeepIdea,
    LetIdeaGo,
    LetIn,
    MarkDone,
    MoveItem,
    NotNeeded,
    PutOff,
    Reopen,
    Reopened,
    SendAway,
    SetShipDate,
    SetShipRule,
    SetTheme,
    SwapBoxes,
    Undo,
    UseIdea,
)

_YEAR = (sitting, types, spreading, contents, sheet, rearranging, variants)
_TRADE = (counting, quantities, lots, costs, cash, bargaining, orders)
_MONTH = (receiving, counting_in, packing, rescue, chance, cautions, learning, crew)
_FILES = (backup, calendar, workbook, page)
_ROOMS = (*_YEAR, *_TRADE, *_MONTH, *_FILES)
HANDLERS: dict[type, Handler] = {
    **ideas.HANDLERS,
    **plan.HANDLERS,
    **shop_.HANDLERS,
    **suppliers.HANDLERS,
    **answers.HANDLERS,
    **nudging.HANDLERS,
    **files.HANDLERS,
    **history.HANDLERS,
    **doors.HANDLERS,
    **help.HANDLERS,
}
for room in _ROOMS:
    HANDLERS.update(room.HANDLERS)

# Requests that mean to change something: one that changes nothing was refused, unless what it
# asks for stands already.
WRITES: frozenset[type] = frozenset(
    {
        AddItem,
        BringIdeaBack,
        BringIn,
        ChangeItem,
        ChangeMornings,
        ChangeShop,
        ChangeSupplier,
        Close,
        DropItem,
        KeepIdea,
        LetIdeaGo,
        LetIn,
        MarkDone,
        MoveItem,
        NotNeeded,
        PutOff,
        Reopen,
        Reopened,
        SendAway,
        SetShipDate,
        SetShipRule,
        SetTheme,
        SwapBoxes,
        Undo,
        UseIdea,
    }
).union(*(room.WRITES for room in _ROOMS))
