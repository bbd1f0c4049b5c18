"""What people say of counting in, and claims: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone.
"""

from assistant.conversation.month_requests import ClaimMet, CountIn, MakeClaim
from assistant.conversation.requests import Request
from tests.conversation.meant import BISCUITS, CADDY, NOTEBOOK, PENCIL, TEA

ALDERMOOR, MARCH = CountIn(supplier="aldermoor"), CountIn(box="2027-03")
BOOK, ALL = CountIn(NOTEBOOK), CountIn()
DAMAGED = MakeClaim(NOTEBOOK, damaged_only=True)
REPLACED, CREDITED = ClaimMet(NOTEBOOK, "replaced"), ClaimMet(NOTEBOOK, "credited")
SETTLED = ClaimMet(NOTEBOOK)

COUNTING_IN: list[tuple[str, Request]] = [
    # the sheet
    ("count-in sheet", ALL),
    ("the count-in sheet please", ALL),
    ("count in", ALL),
    ("what is there to count in?", ALL),
    ("count-in sheet for Aldermoor", ALDERMOOR),
    ("count in sheet aldermoor", ALDERMOOR),
    ("show me the count in sheet for aldermor", ALDERMOOR),
    ("Aldermoor's count-in sheet", ALDERMOOR),
    ("check-in sheet for Aldermoor", ALDERMOOR),
    ("count in Aldermoor", ALDERMOOR),
    ("count-in sheet for March", MARCH),
    ("the march count in sheet", MARCH),
    ("cuont in sheet for march", MARCH),
    ("count-in sheet for the notebook", BOOK),
    ("count in the notebooks", BOOK),
    ("count in teh notebook", BOOK),
    ("counting in the tea for May", CountIn(TEA)),
    ("count the notebooks in", BOOK),
    ("how do I count in the notebooks?", BOOK),
    ("how many notebooks should I look at", BOOK),
    ("how many of the notebooks do we check", BOOK),
    ("what do I look for on the notebooks?", BOOK),
    ("what to look for in the oat biscuits", CountIn(BISCUITS)),
    # to print
    ("print the count-in sheet", CountIn(page=True)),
    ("print the count-in sheet for March", CountIn(box="2027-03", page=True)),
    ("print count in sheet aldermoor", CountIn(supplier="aldermoor", page=True)),
    ("count-in sheet for the notebook as a page", CountIn(NOTEBOOK, page=True)),
    ("count in sheet for march to print", CountIn(box="2027-03", page=True)),
    ("print Aldermoor's count-in sheet", CountIn(supplier="aldermoor", page=True)),
    # a claim
    ("claim for the notebook", MakeClaim(NOTEBOOK)),
    ("claim for the notebooks", MakeClaim(NOTEBOOK)),
    ("claim notebook", MakeClaim(NOTEBOOK)),
    ("calim for the notebooks", MakeClaim(NOTEBOOK)),
    ("claim note for the notebook", MakeClaim(NOTEBOOK)),
    ("write a claim for the notebooks please", MakeClaim(NOTEBOOK)),
    ("make the claim letter for the notebok", MakeClaim(NOTEBOOK)),
    ("i need a claim for the missing notebooks", MakeClaim(NOTEBOOK)),
    ("notebook claim", MakeClaim(NOTEBOOK)),
    ("can you draft a claim for the tea caddy", MakeClaim(CADDY)),
    ("complain about the drawing pencils", MakeClaim(PENCIL)),
    ("complaint about the mint tea", MakeClaim(TEA)),
    ("claim it", MakeClaim(NOTEBOOK)),
    ("ask for replacements for the notebooks", MakeClaim(NOTEBOOK)),
    ("ask for a credit for the missing notebooks", MakeClaim(NOTEBOOK)),
    ("claim for the damaged notebooks", DAMAGED),
    ("claim bent notebooks", DAMAGED),
    ("write up a claim for the broken notebooks", DAMAGED),
    ("ask for new ones for the torn notebooks", DAMAGED),
    ("claim note to Aldermoor", MakeClaim(supplier="aldermoor")),
    ("claim from aldermoor", MakeClaim(supplier="aldermoor")),
    ("Aldermoor's claim note", MakeClaim(supplier="aldermoor")),
    ("complain to aldermor", MakeClaim(supplier="aldermoor")),
    # made good
    ("Aldermoor replaced the notebooks", REPLACED),
    ("aldermoor has replaced the damaged notebooks", REPLACED),
    ("Aldermor replaced the notebook", REPLACED),
    ("aldermoor made good the notebooks", REPLACED),
    ("Aldermoor sent replacements for the bent notebooks", REPLACED),
    ("they replaced the notebooks", REPLACED),
    ("got new ones for the notebooks", REPLACED),
    ("Aldermoor credited the notebooks", CREDITED),
    ("Aldermoor has sent a credit note for the notebooks", CREDITED),
    ("aldermoor refunded the missing notebooks", CREDITED),
    ("claim for the notebooks credited", CREDITED),
    ("the claim for the notebook has been refunded", CREDITED),
    ("notebook claim credited", CREDITED),
    ("claim for notebok settled", SETTLED),
    ("the notebook claim is settled", SETTLED),
    ("we got a refund for the notebooks", CREDITED),
    ("they gave us a credit for the notebooks", CREDITED),
    ("Aldermoor settled the claim", ClaimMet(supplier="aldermoor")),
    ("aldermoor has paid our claim", ClaimMet(how="credited", supplier="aldermoor")),
    ("claim on Aldermoor met", ClaimMet(supplier="aldermoor")),
]
