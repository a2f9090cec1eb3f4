"""The first shape of the book."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from scheduler.book.columns import Document, Moment

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

REFUSED = "the record is only added to"


def upgrade() -> None:
    """Make every table as it was then, and the triggers that guard the record."""
    op.create_table(
        "kitchens",
        sa.Column("id", sa.String(length=60), nullable=False),
        sa.Column("since", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kitchens")),
    )
    op.create_table(
        "codes",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("place", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("role", sa.String(length=10), nullable=False),
        sa.Column("salt", sa.String(length=64), nullable=False),
        sa.Column("hash", sa.String(length=128), nullable=False),
        sa.Column("cost", Document(), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.Column("withdrawn", Moment(), nullable=True),
        sa.CheckConstraint("role IN ('chef', 'sous', 'cook')", name=op.f("ck_codes_role")),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_codes_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "person", "place", name=op.f("pk_codes")),
        info={"secret": True},
    )
    op.create_table(
        "counters",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("name", sa.String(length=20), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_counters_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "name", name=op.f("pk_counters")),
        comment="The last number given; the row is locked while the next one is taken.",
    )
    op.create_table(
        "drafts",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("form", sa.String(length=200), nullable=False),
        sa.Column("body", Document(), nullable=False),
        sa.Column("base", sa.Integer(), nullable=True),
        sa.Column("at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_drafts_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "who", "form", name=op.f("pk_drafts")),
    )
    op.create_table(
        "kept_tasks",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("task", sa.String(length=300), nullable=False),
        sa.Column("place", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("how", Document(), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.Column("let_go", Moment(), nullable=True),
        sa.Column("let_go_by", sa.String(length=120), nullable=True),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_kept_tasks_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "week", "task", "place", name=op.f("pk_kept_tasks")),
    )
    op.create_table(
        "plans",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("made_from", Document(), nullable=False),
        sa.Column("valid", sa.Boolean(), nullable=False),
        sa.Column("served", sa.Boolean(), nullable=False),
        sa.Column("replaces", sa.Integer(), nullable=True),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen", "replaces"], ["plans.kitchen", "plans.number"], name="fk_plans_replaces"
        ),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_plans_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "number", name=op.f("pk_plans")),
    )
    op.create_index("ix_plans_week", "plans", ["kitchen", "week"], unique=False)
    op.create_table(
        "revisions",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("id", sa.String(length=60), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("body", Document(), nullable=True),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('kitchen', 'component', 'dish', 'week')", name=op.f("ck_revisions_kind")
        ),
        sa.CheckConstraint("number >= 1", name=op.f("ck_revisions_number")),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_revisions_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "kind", "id", "number", name=op.f("pk_revisions")),
        comment="The key is the lock: two who save over the same revision want the same number.",
    )
    op.create_table(
        "sign_ins",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("role", sa.String(length=10), nullable=False),
        sa.Column("began", Moment(), nullable=False),
        sa.Column("ends", Moment(), nullable=False),
        sa.Column("revoked", Moment(), nullable=True),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_sign_ins_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_ins")),
        info={"secret": True},
    )
    op.create_index("ix_sign_ins_person", "sign_ins", ["kitchen", "person"], unique=False)
    op.create_table(
        "sources",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("file", sa.String(length=200), nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("holds", Document(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_sources_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "number", "file", name=op.f("pk_sources")),
        comment="Files as they were imported, so that comments survive where nothing changed.",
    )
    op.create_table(
        "wrong_codes",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("place", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_wrong_codes_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "person", "place", name=op.f("pk_wrong_codes")),
        comment="Wrong codes since the last right one: how long the next try must wait.",
    )
    op.create_table(
        "entries",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("task", sa.String(length=400), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("says", Document(), nullable=False),
        sa.Column("gone", sa.Boolean(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_entries_number"
        ),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_entries_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "week", "person", "task", name=op.f("pk_entries")),
    )
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("folder", sa.Text(), nullable=False),
        sa.Column("host", sa.String(length=255), nullable=False),
        sa.Column("process", sa.Integer(), nullable=False),
        sa.Column("mark", sa.String(length=100), nullable=True),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("began", Moment(), nullable=False),
        sa.Column("ended", Moment(), nullable=True),
        sa.Column("outcome", sa.String(length=20), nullable=True),
        sa.Column("word", sa.Text(), nullable=True),
        sa.Column("number", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_jobs_number"
        ),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_jobs_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index("ix_jobs_week", "jobs", ["kitchen", "week"], unique=False)
    op.create_table(
        "record",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("batch", sa.String(length=200), nullable=False),
        sa.Column("task", sa.String(length=300), nullable=True),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("body", Document(), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("happened", Moment(), nullable=False),
        sa.Column("arrived", Moment(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.String(length=64), nullable=True),
        sa.CheckConstraint(
            "kind IN ('done', 'started', 'measured', 'skipped', 'quantity', 'discarded', 'note')",
            name=op.f("ck_record_kind"),
        ),
        sa.ForeignKeyConstraint(
            ["corrects"], ["record.id"], name=op.f("fk_record_corrects_record")
        ),
        sa.ForeignKeyConstraint(
            ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_record_number"
        ),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_record_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_record")),
        comment="Append-only: triggers refuse to change or to delete a row.",
    )
    op.create_index("ix_record_batch", "record", ["kitchen", "week", "batch"], unique=False)
    op.create_index("uq_record_place", "record", ["kitchen", "place"], unique=True)
    op.create_table(
        "setbacks",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("body", Document(), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("happened", Moment(), nullable=False),
        sa.Column("arrived", Moment(), nullable=False),
        sa.Column("answered", sa.Integer(), nullable=True),
        sa.Column("taken_back", Moment(), nullable=True),
        sa.Column("taken_back_by", sa.String(length=120), nullable=True),
        sa.ForeignKeyConstraint(
            ["kitchen", "answered"], ["plans.kitchen", "plans.number"], name="fk_setbacks_answered"
        ),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_setbacks_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_setbacks")),
    )
    op.create_index("ix_setbacks_week", "setbacks", ["kitchen", "week"], unique=False)
    op.create_table(
        "wall",
        sa.Column("kitchen", sa.String(length=60), nullable=False),
        sa.Column("week", sa.String(length=60), nullable=False),
        sa.Column("place", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("up", Moment(), nullable=False),
        sa.Column("up_by", sa.String(length=120), nullable=False),
        sa.Column("down", Moment(), nullable=True),
        sa.Column("down_by", sa.String(length=120), nullable=True),
        sa.ForeignKeyConstraint(
            ["kitchen", "number"], ["plans.kitchen", "plans.number"], name="fk_wall_number"
        ),
        sa.ForeignKeyConstraint(
            ["kitchen"], ["kitchens.id"], name=op.f("fk_wall_kitchen_kitchens")
        ),
        sa.PrimaryKeyConstraint("kitchen", "week", "place", name=op.f("pk_wall")),
        comment="What hangs on the wall, and what has hung there.",
    )
    op.create_index(
        "uq_wall_one_up",
        "wall",
        ["kitchen", "week"],
        unique=True,
        sqlite_where=sa.text("down IS NULL"),
        postgresql_where=sa.text("down IS NULL"),
    )
    # ### end Alembic commands ###
    for statement in _GUARDS[op.get_bind().dialect.name]:
        op.execute(statement)


_GUARDS = {
    "sqlite": [
        f"CREATE TRIGGER record_no_{verb} BEFORE {verb.upper()} ON record "
        f"BEGIN SELECT RAISE(ABORT, '{REFUSED}'); END"
        for verb in ("update", "delete")
    ]
    + [
        # "INSERT OR REPLACE" deletes without asking the other triggers.
        "CREATE TRIGGER record_no_replace BEFORE INSERT ON record WHEN EXISTS (SELECT 1 FROM "
        "record WHERE id = NEW.id OR (kitchen = NEW.kitchen AND place = NEW.place)) "
        f"BEGIN SELECT RAISE(ABORT, '{REFUSED}'); END"
    ],
    "postgresql": [
        "CREATE FUNCTION record_guard() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{REFUSED}'; END $$",
        "CREATE TRIGGER record_no_change BEFORE UPDATE OR DELETE ON record "
        "FOR EACH ROW EXECUTE FUNCTION record_guard()",
        "CREATE TRIGGER record_no_truncate BEFORE TRUNCATE ON record "
        "FOR EACH STATEMENT EXECUTE FUNCTION record_guard()",
    ],
}
