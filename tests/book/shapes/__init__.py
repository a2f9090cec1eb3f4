"""Books in every shape there has been: files that are written once and never again.

`python -m tests.book.shapes` writes those of the newest shape, if there are none.
"""

from __future__ import annotations

from pathlib import Path

HERE = Path(__file__).parent
