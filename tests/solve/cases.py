"""Every rule of the primitives once kept and once broken, on a week too small to miss why.

The same cases serve the auditor of the primitives and both encodings of the
model: the good assignment stands, the bad one does not.
"""

from __future__ import annotations

from tests.solve.cases_of_hands import HANDS
from tests.solve.cases_of_leaving import LEAVING
from tests.solve.cases_of_things import THINGS

CASES = [*THINGS, *HANDS, *LEAVING]
