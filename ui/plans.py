"""The plans of a week: which there are, two side by side, and putting one on the wall."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from scheduler.book.kept import kept, let_go
from scheduler.book.plans import KeptPlan
from scheduler.book.setbacks import answer
from scheduler.book.wall import hung_before, put_up
from scheduler.plan.words import SAFETY
from ui.comparing import side_by_side
from ui.helping import helping
from ui.here import Here, names_of, plan_file
from ui.moments import told
from ui.on_paper import take_along
from ui.proposing import answered_by, besides
from ui.refusing import refusing
from ui.wording import plain

KEPT = 20
"""So many kept tasks are listed at once."""


def show(at: Here) -> None:
    """Draw it."""
    if at.week is None or at.kept is None or at.number is None:
        st.subheader("No plans yet")
        st.write(
            "Press *Plan this week*; every plan that is made stands here from then on."
            if at.leads
            else "Nothing is on the wall for this week yet."
        )
        return
    others = [p for p in at.plans if p.number != at.number]
    st.subheader(f"Plan {at.number}")
    _made(at, at.kept)
    _on_wall(at, at.kept)
    if others:
        side_by_side(at, others)
    for sentence in besides(at, at.kept):
        st.markdown(f"- {plain(sentence, 400)}")
    helping(at)
    take_along(at)
    if at.leads:
        _kept(at)
    _all(at)
    st.caption(plain(SAFETY))


def _made(at: Here, kept: KeptPlan) -> None:
    """How a plan stands, and what it breaks."""
    file = plan_file(at.book, at.who, kept.number)
    served = "every event is served" if kept.served else "not everything is served (see Week)"
    verdict = "breaks no rule" if kept.valid else "breaks a rule: do not cook from it"
    st.write(f"Made {told(at, kept.at)} by {plain(kept.who)}; {verdict}, {served}.")
    for one in file.verdicts.findings[:20]:
        st.markdown(f"- **{plain(one.rule)}** {plain(one.where)}: {plain(one.what, 300)}")
    for let in file.verdicts.let_go:
        st.markdown(
            f"- accepted by {plain(let.by)} ({plain(let.reason)}): {plain(let.rule)}, "
            f"{plain(let.what, 300)}"
        )


def _on_wall(at: Here, kept: KeptPlan) -> None:
    """Put it up in place of what hangs there; what that means stands beside the button."""
    hangs = None if at.hangs is None else at.hangs.number
    if hangs == kept.number:
        up = at.hangs
        assert up is not None
        st.write(f"It is on the wall since {told(at, up.up)}, put up by {plain(up.up_by)}.")
        return
    if not at.leads:
        st.write("Another plan is on the wall." if hangs else "Nothing is on the wall.")
        return

    def go() -> None:
        with refusing():
            answers = answered_by(at, kept)
            put_up(at.book, at.who, kept.number, hangs)
            answer(at.book, at.who, answers, kept.number)
            bin_it = "" if hangs is None else f" Bin plan {hangs}."
            st.toast(f"Plan {kept.number} is on the wall.{bin_it}")

    instead = "" if hangs is None else f" in place of plan {hangs}"
    st.button(
        f"Put plan {kept.number} on the wall{instead}", type="primary", key="plans-up",
        on_click=go, disabled=not kept.valid,
    )  # fmt: skip
    st.caption(
        "Cooks see it from then on. What hung there stays in the history."
        if kept.valid
        else "A plan that breaks a rule does not go on the wall."
    )


def _kept(at: Here) -> None:
    """What stays where it is, whatever is planned anew, and letting it go."""
    assert at.week is not None
    week, names = at.week.id, names_of(at)
    stays = kept(at.book, at.who, week)
    if not stays or names is None:
        return
    st.markdown("##### Kept, whatever is planned anew")

    def let(task: str) -> None:
        with refusing():
            let_go(at.book, at.who, week, task)

    for one in stays[:KEPT]:
        known = names.tasks.get(one.task)
        step = f": {names.step(known.batch, known.step)}" if known is not None else ""
        how = [names.person(p) for p in one.how.people] + [names.unit(u) for u in one.how.equipment]
        if one.how.start is not None:
            how.insert(0, told(at, one.how.start))
        said, button = st.columns([5, 1], vertical_alignment="center")
        what = plain(f"{names.task(one.task)}{step}", 200)
        said.write(f"{what}: {plain(', '.join(how), 300)} (said by {plain(one.who)})")
        button.button(
            "Let it go", key=f"plans-let-{one.task}", on_click=let, args=(one.task,),
            width="stretch",
        )  # fmt: skip
    if len(stays) > KEPT:
        st.caption(f"and {len(stays) - KEPT} more; let some go to see them")


def _all(at: Here) -> None:
    """Every plan, and every time one hung on the wall."""
    assert at.week is not None
    st.markdown("##### All of them")
    rows = [
        {
            "plan": p.number,
            "made": told(at, p.at),
            "by": p.who,
            "breaks a rule": "no" if p.valid else "yes",
            "served": "yes" if p.served else "no",
            "in place of": "" if p.replaces is None else str(p.replaces),
            "on the wall": "yes" if at.hangs and at.hangs.number == p.number else "",
        }
        for p in at.plans
    ]
    st.dataframe(pd.DataFrame(rows), hide_index=True, width="stretch")
    past = [
        {
            "plan": h.number,
            "up": told(at, h.up),
            "by": h.up_by,
            "down": "" if h.down is None else told(at, h.down),
            "taken down by": h.down_by or "",
        }
        for h in hung_before(at.book, at.who, at.week.id)
    ]
    if past:
        with st.expander("What hung on the wall, and when"):
            st.dataframe(pd.DataFrame(past), hide_index=True, width="stretch")
