"""What really happened: where the record is read and printed, and how long steps really took."""

from __future__ import annotations

from ui.here import here
from ui.record import show
from ui.refusing import refusing

with refusing():
    show(here())
