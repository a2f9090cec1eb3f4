"""What is kept. Nothing is ever changed into something else: what is new is a new row.

Everything belongs to a kitchen. Keys are the kitchen's own ids and numbers, so
that a backup of one database is the other's without translating anything.
Migrations (`migrations/versions`) make these tables; a test compares the two.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    MetaData,
    Table,
    text,
)

from scheduler.book.columns import Document, Long, Moment, Short, Triples, Whole

SCHEMA = "0001"
"""The newest migration: the shape that this code reads and writes."""

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)
ID = Short(60)
"""An id of a kitchen's words."""
PERSON = Short(120)
"""Who did something: a person's id, or how they are called where there is no sign-in."""
MADE_ID = Short(64)
"""An id that a client made (a UUID, as a rule)."""


def _kitchen() -> Column[str]:
    return Column("kitchen", ID, ForeignKey("kitchens.id"), primary_key=True)


def _of_kitchen() -> Column[str]:
    return Column("kitchen", ID, ForeignKey("kitchens.id"), nullable=False)


kitchens = Table(
    "kitchens",
    metadata,
    Column("id", ID, primary_key=True),
    Column("since", Moment, nullable=False),
)

counters = Table(
    "counters",
    metadata,
    _kitchen(),
    Column("name", Short(20), primary_key=True),  # plan, record
    Column("last", Whole, nullable=False),
    comment="The last number given; the row is locked while the next one is taken.",
)

revisions = Table(
    "revisions",
    metadata,
    _kitchen(),
    Column("kind", Short(20), primary_key=True),  # kitchen, component, dish, week
    Column("id", ID, primary_key=True),
    Column("number", Whole, primary_key=True, autoincrement=False),  # from 1, without gaps
    Column("body", Document),  # nothing: thrown out
    Column("sha256", Short(64), nullable=False),
    Column("who", PERSON, nullable=False),
    Column("at", Moment, nullable=False),
    CheckConstraint("number >= 1", name="number"),
    CheckConstraint("kind IN ('kitchen', 'component', 'dish', 'week')", name="kind"),
    comment="The key is the lock: two who save over the same revision want the same number.",
)

sources = Table(
    "sources",
    metadata,
    _kitchen(),
    Column("number", Whole, primary_key=True, autoincrement=False),  # the kitchen's first import
    Column("file", Short(200), primary_key=True),  # a name that every system can write
    Column("week", ID, nullable=False),
    Column("place", Whole, nullable=False),
    Column("text", Long, nullable=False),
    Column("holds", Triples, nullable=False),  # [[kind, id, sha256], ...] in the file's order
    comment="Files as they were imported, so that comments survive where nothing changed.",
)

drafts = Table(
    "drafts",
    metadata,
    _kitchen(),
    Column("who", PERSON, primary_key=True),
    Column("form", Short(200), primary_key=True),
    Column("body", Document, nullable=False),  # as typed, unchecked
    Column("base", Whole),  # revision it was begun from
    Column("at", Moment, nullable=False),
)

plans = Table(
    "plans",
    metadata,
    _kitchen(),
    Column("number", Whole, primary_key=True, autoincrement=False),
    Column("week", ID, nullable=False),
    Column("body", Long, nullable=False),  # the plan file
    Column("sha256", Short(64), nullable=False),
    Column("made_from", Triples, nullable=False),  # [[kind, id, number], ...]
    Column("valid", Boolean, nullable=False),  # what the audit said when it was kept
    Column("served", Boolean, nullable=False),
    Column("replaces", Whole),
    Column("who", PERSON, nullable=False),
    Column("at", Moment, nullable=False),
    ForeignKeyConstraint(
        ["kitchen", "replaces"], ["plans.kitchen", "plans.number"], name="fk_plans_replaces"
    ),
    Index("ix_plans_week", "kitchen", "week"),
)

wall = Table(
    "wall",
    metadata,
    _kitchen(),
    Column("week", ID, primary_key=True),
    Column("place", Whole, primary_key=True, autoincrement=False),  # the week's first, second ...
    Column("number", Whole, nullable=False),
    Column("up", Moment, nullable=False),
    Column("up_by", PERSON, nullable=False),
    Column("down", Moment),
    Column("down_by", PERSON),
    ForeignKeyConstraint(
        ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_wall_number"
    ),
    Index(
        "uq_wall_one_up",
        "kitchen",
        "week",
        unique=True,
        sqlite_where=text("down IS NULL"),
        postgresql_where=text("down IS NULL"),
    ),
    comment="What hangs on the wall, and what has hung there.",
)

entries = Table(
    "entries",
    metadata,
    _kitchen(),
    Column("week", ID, primary_key=True),
    Column("person", ID, primary_key=True),
    Column("task", Short(400), primary_key=True),  # and which visit to it
    Column("sequence", Whole, nullable=False),
    Column("says", Document, nullable=False),  # what a calendar shows: from, to, title
    Column("gone", Boolean, nullable=False),  # cancelled, kept so that calendars hear of it
    Column("number", Whole, nullable=False),  # the plan that said it last
    Column("at", Moment, nullable=False),
    ForeignKeyConstraint(
        ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_entries_number"
    ),
)

kept_tasks = Table(
    "kept_tasks",
    metadata,
    _kitchen(),
    Column("week", ID, primary_key=True),
    Column("task", Short(300), primary_key=True),
    Column("place", Whole, primary_key=True, autoincrement=False),
    Column("how", Document, nullable=False),  # what of it stays: start, people, equipment
    Column("who", PERSON, nullable=False),
    Column("at", Moment, nullable=False),
    Column("let_go", Moment),
    Column("let_go_by", PERSON),
)

setbacks = Table(
    "setbacks",
    metadata,
    Column("id", MADE_ID, primary_key=True),
    _of_kitchen(),
    Column("week", ID, nullable=False),
    Column("kind", Short(40), nullable=False),
    Column("body", Document, nullable=False),
    Column("who", PERSON, nullable=False),
    Column("happened", Moment, nullable=False),
    Column("arrived", Moment, nullable=False),
    Column("answered", Whole),  # the plan that dealt with it
    Column("taken_back", Moment),
    Column("taken_back_by", PERSON),
    ForeignKeyConstraint(
        ["kitchen", "answered"], ["plans.kitchen", "plans.number"], name="fk_setbacks_answered"
    ),
    Index("ix_setbacks_week", "kitchen", "week"),
)

jobs = Table(
    "jobs",
    metadata,
    Column("id", MADE_ID, primary_key=True),
    _of_kitchen(),
    Column("week", ID, nullable=False),
    Column("folder", Long, nullable=False),
    Column("host", Short(255), nullable=False),
    Column("process", Whole, nullable=False),
    Column("mark", Short(100)),  # tells it from a later process of that number
    Column("who", PERSON, nullable=False),
    Column("began", Moment, nullable=False),
    Column("ended", Moment),
    Column("outcome", Short(20)),  # done, stopped, failed, gone
    Column("word", Long),  # what is to be said about it
    Column("number", Whole),  # the plan it came to
    ForeignKeyConstraint(
        ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_jobs_number"
    ),
    Index("ix_jobs_week", "kitchen", "week"),
)

record = Table(
    "record",
    metadata,
    Column("id", MADE_ID, primary_key=True),
    _of_kitchen(),
    Column("place", Whole, nullable=False),  # in order of arrival, whatever clocks say
    Column("week", ID, nullable=False),
    Column("batch", Short(200), nullable=False),
    Column("task", Short(300)),
    Column("kind", Short(20), nullable=False),
    Column("body", Document, nullable=False),
    Column("who", PERSON, nullable=False),
    Column("happened", Moment, nullable=False),
    Column("arrived", Moment, nullable=False),
    Column("number", Whole),  # the plan they were looking at
    Column("corrects", MADE_ID, ForeignKey("record.id")),
    ForeignKeyConstraint(
        ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_record_number"
    ),
    CheckConstraint(
        "kind IN ('done', 'started', 'measured', 'skipped', 'quantity', 'discarded', 'note')",
        name="kind",
    ),
    Index("uq_record_place", "kitchen", "place", unique=True),
    Index("ix_record_batch", "kitchen", "week", "batch"),
    comment="Append-only: triggers refuse to change or to delete a row.",
)

codes = Table(
    "codes",
    metadata,
    _kitchen(),
    Column("person", ID, primary_key=True),
    Column("place", Whole, primary_key=True, autoincrement=False),
    Column("role", Short(10), nullable=False),
    Column("salt", Short(64), nullable=False),
    Column("hash", Short(128), nullable=False),
    Column("cost", Document, nullable=False),  # scrypt's n, r, p
    Column("made_by", PERSON, nullable=False),
    Column("at", Moment, nullable=False),
    Column("withdrawn", Moment),
    CheckConstraint("role IN ('chef', 'sous', 'cook')", name="role"),
    info={"secret": True},
)

wrong_codes = Table(
    "wrong_codes",
    metadata,
    _kitchen(),
    Column("person", ID, primary_key=True),
    Column("place", Whole, primary_key=True, autoincrement=False),
    Column("at", Moment, nullable=False),
    comment="Wrong codes since the last right one: how long the next try must wait.",
)

sign_ins = Table(
    "sign_ins",
    metadata,
    Column("id", MADE_ID, primary_key=True),
    _of_kitchen(),
    Column("person", ID, nullable=False),
    Column("role", Short(10), nullable=False),
    Column("began", Moment, nullable=False),
    Column("ends", Moment, nullable=False),
    Column("revoked", Moment),
    Index("ix_sign_ins_person", "kitchen", "person"),
    info={"secret": True},
)
