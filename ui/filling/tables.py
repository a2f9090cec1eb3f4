"""Lists of a document as tables on a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd
import streamlit as st

from scheduler.book.merging import merged
from ui.editing.mistakes import beside
from ui.editing.models import help_of
from ui.editing.paths import ABSENT, Path, at, put
from ui.editing.tables import Row, named, rows_of, with_edits
from ui.editing.words import Field
from ui.filling.fields import MARK
from ui.filling.opened import Form
from ui.wording import plain


@dataclass(frozen=True)
class _Mounted:
    """What an editor was given. It is never given its own output back, or it drops edits."""

    number: int
    entries: Any
    last: Any
    """What the list was after the last change that came from this editor."""


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
    mounted = _mounted(form, path, columns)
    key = _key(form, path, mounted.number)
    st.data_editor(
        _frame(rows_of({"rows": mounted.entries}, ("rows",), columns), columns),
        key=key,
        num_rows="fixed" if fixed or form.shut else "dynamic",
        hide_index=True,
        disabled=form.shut,
        column_config={c.label: _config(form, path, c, mounted.entries) for c in columns},
        on_change=_edited,
        args=(form, path, tuple(columns)),
        alt=label,
        placeholder="",
    )
    entries = form.at(path)
    for one in form.told(beside(form.found, path)):
        row = named(entries, one, path, columns)
        st.markdown(f"{MARK} {plain(f'{row}: {one.says}' if row else one.says, 600)}")


def _mounted(form: Form, path: Path, columns: Sequence[Field]) -> _Mounted:
    """What the editor shows; anew where the list was changed in another place than in it."""
    there = form.at(path)
    mounted: _Mounted | None = st.session_state.get(form.key(*path, "mounted"))
    if mounted is not None:
        edits = st.session_state.get(_key(form, path, mounted.number)) or {}
        if _with(mounted.entries, columns, edits) == there:
            return mounted
    mounted = _Mounted(mounted.number + 1 if mounted else 0, there, there)
    st.session_state[form.key(*path, "mounted")] = mounted
    return mounted


def _edited(form: Form, path: Path, columns: Sequence[Field]) -> None:
    mounted: _Mounted = st.session_state[form.key(*path, "mounted")]
    edits = st.session_state[_key(form, path, mounted.number)]
    mine = _with(mounted.entries, columns, edits)

    def made(body: Any) -> Any:
        # Another tab may have changed the list meanwhile: both, then.
        both = merged(_box(mounted.last), _box(mine), _box(at(body, path))).body or {}
        return put(body, path, both.get("rows", ABSENT))

    form.change(made)
    kept = _Mounted(mounted.number, mounted.entries, mine)
    st.session_state[form.key(*path, "mounted")] = kept


def _with(entries: Any, columns: Sequence[Field], edits: Any) -> Any:
    made = with_edits(_box(entries), ("rows",), columns, edits)
    return made.get("rows", ABSENT)


def _box(entries: Any) -> dict[str, Any]:
    return {} if entries is ABSENT else {"rows": entries}


def _key(form: Form, path: Path, number: int) -> str:
    return form.key(*path, "table", number)


def _frame(rows: Sequence[Row], columns: Sequence[Field]) -> pd.DataFrame:
    kinds: dict[str, Any] = {c.label: bool if c.sort == "yes" else object for c in columns}
    return pd.DataFrame(
        {name: pd.Series([row[name] for row in rows], dtype=kind) for name, kind in kinds.items()}
    )


def _config(form: Form, path: Path, column: Field, entries: Any) -> Any:
    help = column.help or help_of(form.one.kind, (*path, *column.path)) or None
    if column.sort == "yes":
        return st.column_config.CheckboxColumn(column.label, help=help)
    if column.sort in ("choice", "either"):
        known = ("yes", "no") if column.sort == "either" else column.choices
        rows = rows_of(_box(entries), ("rows",), [column])
        there = (str(r[column.label]) for r in rows if r[column.label])
        options = list(dict.fromkeys((*known, *there)))
        return st.column_config.SelectboxColumn(column.label, help=help, options=options)
    return st.column_config.TextColumn(column.label, help=help)
