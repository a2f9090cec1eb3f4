"""Lists of a document as tables on a page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd
import streamlit as st

from ui.editing.mistakes import beside
from ui.editing.models import help_of
from ui.editing.paths import ABSENT, Path
from ui.editing.tables import Row, named, rows_of
from ui.editing.words import Field, labelled
from ui.filling.fields import MARK, MOST
from ui.filling.mounted import editor_key, mount
from ui.filling.opened import Form
from ui.wording import plain, spoken

RECIPES = (("dish",), ("component",))
"""Columns that say which recipe: its name is shown, its id is what is written."""


def table(
    form: Form, path: Path, columns: Sequence[Field], label: str, fixed: bool = False
) -> None:
    """A list of the document as a table; beneath it what is wrong, by row and column.

    Parameters
    ----------
    label : str
        For readers of screens, and shown above.
    fixed : bool
        No rows are added or taken out here.
    """
    st.markdown(f"**{label}**")
    mounted = mount(form.key(), path, columns, form.at(path))
    given = {} if mounted.entries is ABSENT else {"rows": mounted.entries}
    rows = rows_of(given, ("rows",), columns)
    st.data_editor(
        _frame(rows, columns),
        key=editor_key(form.key(), path, mounted.number),
        num_rows="fixed" if fixed or form.shut else "dynamic",
        hide_index=True,
        disabled=form.shut,
        column_config={c.label: _config(form, path, c, columns, rows) for c in columns},
        alt=label,
        placeholder="",
    )
    entries = form.at(path)
    found = form.told(beside(form.found, path))
    for one in found[:MOST]:
        if one.path == path and entries in (ABSENT, []):
            st.markdown(f"{MARK} at least one row is needed here")
            continue
        row = named(entries, one, path, columns)
        st.markdown(f"{MARK} {plain(spoken(f'{row}: {one.says}' if row else one.says), 600)}")
    if len(found) > MOST:
        st.markdown(f"… and {len(found) - MOST} more")


def _frame(rows: Sequence[Row], columns: Sequence[Field]) -> pd.DataFrame:
    kinds: dict[str, Any] = {c.label: "boolean" if c.sort == "yes" else object for c in columns}
    return pd.DataFrame(
        {name: pd.Series([row[name] for row in rows], dtype=kind) for name, kind in kinds.items()}
    )


def _config(
    form: Form, path: Path, column: Field, columns: Sequence[Field], rows: Sequence[Row]
) -> Any:
    said = column.help or help_of(form.one.kind, (*path, *column.path))
    help = plain(labelled(said, columns), 400) or None
    if column.sort == "yes":
        return st.column_config.CheckboxColumn(column.label, help=help)
    if column.sort in ("choice", "either"):
        known = ("yes", "no") if column.sort == "either" else column.choices
        there = (str(r[column.label]) for r in rows if r[column.label])
        options = list(dict.fromkeys((*known, *there)))
        return st.column_config.SelectboxColumn(
            column.label, help=help, options=options,
            format_func=form.called if column.path in RECIPES else str,
        )  # fmt: skip
    return st.column_config.TextColumn(column.label, help=help)
