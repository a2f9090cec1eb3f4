"""What the rules of food say of the week, and of the plan that is looked at."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import pandas as pd
import streamlit as st

from scheduler.book import documents
from scheduler.domain.limits import DEFER
from scheduler.domain.profiles import NAMES
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from scheduler.plan.plates import on_plates
from scheduler.safety.check import check, headline
from scheduler.safety.finding import Finding, Standing
from ui.here import Here, names_of
from ui.wording import plain, short, spoken

OWN = "the kitchen's own"
_AT_ONCE = 12
"""Findings of one standing that are written out; all of them stand in the table."""


def show(at: Here) -> None:
    """Draw it."""
    if at.week is None:
        st.subheader("No week yet")
        return
    file = at.file
    if file is not None:
        scenario, plan = file.scenario, file.plan
    elif at.leads:
        scenario, plan = documents.scenario(at.book, at.who, at.week.id), None
    else:
        st.write("Nothing is on the wall for this week yet.")
        return
    own = scenario.kitchen.rule_profile
    which = st.selectbox(
        "By the rules of", [OWN, *NAMES], key="rules-by", width=260,
        format_func=lambda name: f"{OWN} ({own or 'none named'})" if name == OWN else name.upper(),
    )  # fmt: skip
    under = scenario if which == OWN else scenario.under(which)
    found = _found(scenario.sha256(), at.number or 0, which, under, plan)
    st.subheader(plain(_sentence(found, at.number, at.leads)))
    st.write(plain(spoken(headline(under)), 600))
    asked = st.text_input("Find", key="rules-find", placeholder="a dish, a rule, a source …")
    names = names_of(at)
    if names is not None:  # Findings of a plan are about its batches and units, by their ids.
        found = [replace(f, where=names.place(f.where)) for f in found]
    some = [f for f in found if _says(f, asked)]
    for standing in Standing:
        _standing(standing, [f for f in some if f.standing is standing])
    if not some:
        st.write("Nothing in here says that." if asked else "Nothing to check.")
    lines = list(on_plates(under))
    if lines:
        with st.expander("Allergens on plates, beside what guests need"):
            st.code("\n".join(lines), language=None, wrap_lines=True)
    st.caption(plain(DEFER, 400))


@st.cache_resource(show_spinner="Checking …", max_entries=24)
def _found(
    sha256: str, number: int, which: str, _under: Scenario, _plan: Plan | None
) -> list[Finding]:
    return check(_under, _plan)


def _sentence(found: Sequence[Finding], number: int | None, leads: bool) -> str:
    count = Counter(f.standing for f in found)
    of = f"plan {number}" if number is not None else "the recipes"
    said = [f"{count[s]} {s.value}" for s in Standing if count[s] and s is not Standing.NOTE]
    if not said:
        what = "name a rule profile under Kitchen" if leads else "no rule profile is named"
        return f"Nothing is checked of {of}: {what}"
    return f"Of {of}: {', '.join(said)}"


def _says(finding: Finding, asked: str) -> bool:
    text = f"{finding.rule} {finding.where} {finding.sentence}".casefold()
    return all(word in text for word in asked.casefold().split())


def _standing(standing: Standing, found: Sequence[Finding]) -> None:
    """Findings of one standing: what is broken or near in sentences, the rest in a table."""
    if not found:
        return
    title = f"{standing.shape} {standing.value.capitalize()} ({len(found)})"
    if standing in (Standing.BROKEN, Standing.NEAR, Standing.UNKNOWN) and len(found) <= _AT_ONCE:
        st.markdown(f"##### {plain(title)}")
        for one in found:
            st.markdown(f"- **{plain(one.where)}**: {plain(spoken(one.said), 600)}")
            if one.source:
                st.caption(plain(one.source, 300))
        return
    with st.expander(plain(title), expanded=standing is Standing.BROKEN):
        rows = [
            {
                "about": short(f.where), "says": spoken(f.said),
                "limit stands in": f.source, "rule": f.rule,
            }
            for f in found
        ]
        st.dataframe(pd.DataFrame(rows), hide_index=True, width="stretch")
