"""Runs migrations inside the transaction of the connection that is handed over."""

from __future__ import annotations

from alembic import context

from scheduler.book.tables import metadata

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=metadata,
    render_as_batch=connection.dialect.name == "sqlite",
)
context.run_migrations()
