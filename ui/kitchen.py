"""Equipment, stores, hours, rules and limits of the house."""

from __future__ import annotations

import streamlit as st

from ui.editing import of_kitchen
from ui.editing.paths import Path
from ui.filling.choosing import one_of
from ui.filling.ends import ends
from ui.filling.fields import fields
from ui.filling.opened import Form, opened
from ui.filling.tables import table
from ui.here import Here
from ui.wording import plain


def show(at: Here) -> None:
    """The kitchen, without its people."""
    st.subheader("Kitchen")
    form = opened(at, "kitchen", at.who.kitchen)
    fields(form, of_kitchen.KITCHEN)
    table(form, ("equipment",), of_kitchen.EQUIPMENT, "Equipment and containers")
    machine(form)
    table(form, ("stores",), of_kitchen.STORES, "Stores")
    left, right = st.columns(2)
    with left:
        table(form, ("day_parts",), of_kitchen.DAY_PARTS, "Parts of the day")
    with right:
        table(form, ("margins",), of_kitchen.MARGINS, "Margins by size of event")
    with st.expander("Own limits of food safety, in place of the published ones"):
        st.caption(plain("Each with where it stands: {value: 5 °C, document: House rules}", 200))
        fields(form, of_kitchen.LIMITS, columns=3)
    with st.expander("Working time, costs, wishes"):
        fields(form, of_kitchen.REST)
    ends(form)


def machine(form: Form) -> None:
    """One kind of equipment in full."""
    there = form.at(("equipment",))
    kinds = [k if isinstance(k, dict) else {} for k in (there if isinstance(there, list) else [])]
    ids = [str(k.get("id", i + 1)) for i, k in enumerate(kinds)]
    place = one_of("One kind in full", ids, ids, "kind")
    if place is None:
        return
    path: Path = ("equipment", place)
    with st.container(border=True):
        if isinstance(kinds[place].get("units"), list):
            table(form, (*path, "units"), of_kitchen.UNITS, "Units that differ or have names")
        else:
            fields(form, of_kitchen.COUNT, path=path)
            if not form.shut:
                st.button(
                    "Name them one by one", key=form.key("name units"), on_click=form.change,
                    args=(lambda body: of_kitchen.named_units(body, path), "equipment"),
                )  # fmt: skip
        fields(form, of_kitchen.MACHINE, path=path)
