"""Something has happened: entered here, and the rest of the week worked out anew."""

from __future__ import annotations

from ui.here import here
from ui.refusing import refusing
from ui.setback import show

with refusing():
    show(here())
