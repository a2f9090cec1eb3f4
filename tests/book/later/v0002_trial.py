"""A next shape of the book, for trying how it gets there: a column, a table, a moment's pause.

`BACKTIME_TRIAL_PAUSE`: seconds to wait half-way, so that a test can pull the plug.
"""

from __future__ import annotations

import os
import time

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add a column to what is there, pause, add a table."""
    with op.batch_alter_table("kitchens") as batch:
        batch.add_column(sa.Column("motto", sa.String(60), nullable=False, server_default="mise"))
    print("half-way", flush=True)
    time.sleep(float(os.environ.get("BACKTIME_TRIAL_PAUSE", "0")))
    op.create_table("trial", sa.Column("id", sa.Integer, primary_key=True))
