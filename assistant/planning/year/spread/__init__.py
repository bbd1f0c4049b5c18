"""Recurring types spread through the year, as evenly as can be.

Knows: what the modules of this package give to the rest. Must not know: anything else. A shop is
read as plain records (reading, problem), each type's ways to return are listed (placements), the
solver picks one for each (highs, solving, alternatives) or says what clashes (boxes, clashes), and
what it picked is told in items and forms (forms, options, plan).
"""

from assistant.planning.year.spread.plan import changes_of as changes_of
from assistant.planning.year.spread.plan import check as check
from assistant.planning.year.spread.plan import fingerprint as fingerprint
from assistant.planning.year.spread.plan import gaps as gaps
from assistant.planning.year.spread.plan import spread as spread
from assistant.planning.year.spread.problem import Clash as Clash
from assistant.planning.year.spread.problem import Option as Option
from assistant.planning.year.spread.problem import Relaxation as Relaxation
from assistant.planning.year.spread.problem import Spread as Spread
from assistant.planning.year.spread.problem import Wish as Wish
from assistant.planning.year.spread.reading import boxes_between as boxes_between
from assistant.planning.year.spread.reading import placed as placed
