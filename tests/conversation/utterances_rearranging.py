"""What people say when they change their minds, and what it means: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone. The shop keeps two
versions, "plan B" and "Early orders".
"""

from assistant.conversation.requests import DropItem, MoveItem, Request, SwapBoxes
from assistant.conversation.year_requests import (
    AdoptVariant,
    CompareVariant,
    DropSupplier,
    DropVariant,
    KeepVariant,
    MoveToMonths,
    ShowVariants,
)
from tests.conversation.meant import MAY_PIN, NOTEBOOK, TEA

PINS = (MAY_PIN, "2027-09.enamel pin")
SPRING, SUMMER, AUTUMN, WINTER = (3, 4, 5), (6, 7, 8), (9, 10, 11), (12, 1, 2)
B, EARLY = "plan b", "early orders"

AT_ONCE: list[tuple[str, Request]] = [
    ("swap March and May now", SwapBoxes("2027-03", "2027-05", sure=True)),
    ("Swap Mar with May at once", SwapBoxes("2027-03", "2027-05", sure=True)),
    ("swpa march and may now", SwapBoxes("2027-03", "2027-05", sure=True)),
    ("move the notebook to May now", MoveItem(NOTEBOOK, "2027-05", sure=True)),
    ("move it to june anyway", MoveItem(NOTEBOOK, "2027-06", sure=True)),
    ("drop the notebook right away", DropItem(NOTEBOOK, sure=True)),
    ("drop it now", DropItem(NOTEBOOK, sure=True)),
]

SEVERAL: list[tuple[str, Request]] = [
    ("move the pins to autumn", MoveToMonths(PINS, AUTUMN)),
    ("Move all the pins to Autumn!", MoveToMonths(PINS, AUTUMN)),
    ("mvoe the pins to autum", MoveToMonths(PINS, AUTUMN)),
    ("push the enamel pins to the fall", MoveToMonths(PINS, AUTUMN)),
    ("shift every pin to spring", MoveToMonths(PINS, SPRING)),
    ("could you move the pins to next winter?", MoveToMonths(PINS, WINTER)),
    ("put the pins in summer", MoveToMonths(PINS, SUMMER)),
    (
        "move the pins to the second half of the year",
        MoveToMonths(PINS, (7, 8, 9, 10, 11, 12)),
    ),
    ("move pins to Q3", MoveToMonths(PINS, (7, 8, 9))),
    ("move both pins to the last quarter", MoveToMonths(PINS, (10, 11, 12))),
    ("move the notebook to June or July", MoveToMonths((NOTEBOOK,), (6, 7))),
    ("move notebok to jun or jul", MoveToMonths((NOTEBOOK,), (6, 7))),
    ("move it to September - November", MoveToMonths((NOTEBOOK,), AUTUMN)),
    ("move the mint tea to june, july or august", MoveToMonths((TEA,), SUMMER)),
    ("move the pin in May to summer", MoveToMonths((MAY_PIN,), SUMMER)),
    ("move all pins to October", MoveToMonths(PINS, (10,))),
    ("move the notebook to winter", MoveToMonths((NOTEBOOK,), WINTER)),
]

SUPPLIER: list[tuple[str, Request]] = [
    ("drop Aldermoor everywhere", DropSupplier("aldermoor")),
    ("Drop aldermoor everywhere.", DropSupplier("aldermoor")),
    ("drop aldermor everywhere", DropSupplier("aldermoor")),
    ("drop everything from Aldermoor", DropSupplier("aldermoor")),
    ("remove all items from Hangfeng", DropSupplier("hangfeng")),
    ("drop all from hangfeng everywhere", DropSupplier("hangfeng")),
    ("cut the supplier Brackenfold", DropSupplier("brackenfold")),
    ("drop supplier hangfeng", DropSupplier("hangfeng")),
    ("take everything from Brackenfold out of the plan", DropSupplier("brackenfold")),
    ("drop all Hangfeng items", DropSupplier("hangfeng")),
    ("stop buying from Aldermoor", DropSupplier("aldermoor")),
    ("take Aldermoor out of the year", DropSupplier("aldermoor")),
    ("drop Aldermoor from the plan", DropSupplier("aldermoor")),
    ("drop aldermoor", DropSupplier("aldermoor")),
    ("dorp aldermoor pls", DropSupplier("aldermoor")),
]

KEPT: list[tuple[str, Request]] = [
    ("keep this year as plan B", KeepVariant("plan B")),
    ("Keep the year as it is as plan C", KeepVariant("plan C")),
    ("kepe this year as plan C", KeepVariant("plan C")),
    ("save this plan as 'before the fair'", KeepVariant("before the fair")),
    ('keep this year as "Plan; second try"', KeepVariant("Plan; second try")),
    ("save a version called early", KeepVariant("early")),
    ("save a copy named spring first", KeepVariant("spring first")),
    ("save a version of this year as early", KeepVariant("early")),
    ("keep it as plan c", KeepVariant("plan c")),
    ("keep as plan C", KeepVariant("plan C")),
    ("keep this as version two", KeepVariant("version two")),
    ("save version early", KeepVariant("early")),
    ("store the plan as cheap", KeepVariant("cheap")),
    ("versions", ShowVariants()),
    ("Versions?", ShowVariants()),
    ("versoins", ShowVariants()),
    ("my versions", ShowVariants()),
    ("show versions", ShowVariants()),
    ("show me all versions", ShowVariants()),
    ("list the versions of the year", ShowVariants()),
    ("what versions are there", ShowVariants()),
    ("which versions do I have?", ShowVariants()),
    ("what versions have i kept", ShowVariants()),
    ("which versions did i save", ShowVariants()),
    ("all my versions of the year", ShowVariants()),
    ("variants pls", ShowVariants()),
]

COMPARED: list[tuple[str, Request]] = [
    ("compare with plan B", CompareVariant(B)),
    ("compare with plan b pls", CompareVariant(B)),
    ("comapre with plan B", CompareVariant(B)),
    ("compare to plan B", CompareVariant(B)),
    ("compare this year with early orders", CompareVariant(EARLY)),
    ("compare with early", CompareVariant(EARLY)),
    ("compare with the version Early orders", CompareVariant(EARLY)),
    ("compare plan B with the year", CompareVariant(B)),
    ("how does plan B differ?", CompareVariant(B)),
    ("what is different in plan B", CompareVariant(B)),
    ("whats different with plan b", CompareVariant(B)),
    ("the difference to plan B", CompareVariant(B)),
    ("show plan B", CompareVariant(B)),
    ("show me early orders", CompareVariant(EARLY)),
]

ADOPTED: list[tuple[str, Request]] = [
    ("adopt plan B", AdoptVariant(B)),
    ("Adopt Plan b!", AdoptVariant(B)),
    ("adpot plan B", AdoptVariant(B)),
    ("use plan B", AdoptVariant(B)),
    ("use plan b instead", AdoptVariant(B)),
    ("take version early", AdoptVariant(EARLY)),
    ("use version early orders", AdoptVariant(EARLY)),
    ("use early orders", AdoptVariant(EARLY)),
    ("switch to plan B", AdoptVariant(B)),
    ("go back to plan B", AdoptVariant(B)),
    ("go with early orders", AdoptVariant(EARLY)),
    ("let's go with plan b", AdoptVariant(B)),
    ("adopt early", AdoptVariant(EARLY)),
    ("adopt plan B now", AdoptVariant(B, sure=True)),
    ("use plan b right away", AdoptVariant(B, sure=True)),
    ("forget plan B", DropVariant(B)),
    ("froget plan b", DropVariant(B)),
    ("forget early orders", DropVariant(EARLY)),
    ("delete plan B", DropVariant(B)),
    ("delete version early", DropVariant(EARLY)),
    ("drop the version plan B", DropVariant(B)),
    ("remove version early orders", DropVariant(EARLY)),
    ("forget version plan B", DropVariant(B)),
    ("throw away plan B", DropVariant(B)),
    ("Drop plan b", DropVariant(B)),
    ("delete the variant early orders", DropVariant(EARLY)),
    ("please forget plan B", DropVariant(B)),
]

REARRANGING = [*AT_ONCE, *SEVERAL, *SUPPLIER, *KEPT, *COMPARED, *ADOPTED]
