"""Recipes: looked for, written, drawn from their first step to service, scaled."""

from __future__ import annotations

from typing import Any

import streamlit as st

from scheduler.book.documents import heads
from scheduler.book.revisions import Key
from scheduler.domain.quantity import Quantity
from ui.charts import recipe as over_time
from ui.charts.recipe_figure import figure
from ui.editing import of_recipe
from ui.editing.begun import all_begun, begun
from ui.editing.paths import ABSENT, Path
from ui.editing.tables import moved
from ui.filling.choosing import one_of
from ui.filling.ends import ends, throwing_out
from ui.filling.fields import fields
from ui.filling.news import new_recipe
from ui.filling.opened import Form, opened
from ui.filling.tables import table
from ui.here import Here, choose, chosen
from ui.pasting import into_recipes
from ui.theme import colours, on_phone
from ui.wording import plain, short

GROUPS = ("Time and hands", "Goes in and comes out", "What it is on", "Visits",
          "Safety and cooling", "Then it waits")  # fmt: skip


def show(at: Here) -> None:
    """The list, and the recipe that is chosen."""
    bodies: dict[Key, Any] = {r.key: r.body for r in heads(at.book, at.who)}
    mine = all_begun(at.book, at.who)
    for key in mine:
        bodies[key] = begun(at.book, at.who, *key).body
    known = {id: key for key in bodies if bodies[key] is not None
             for kind, id in (key,) if kind in ("component", "dish")}  # fmt: skip
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.subheader("Recipes")
        if at.chef:
            kitchen = bodies.get(("kitchen", at.who.kitchen)) or {}
            new_recipe(at, list(known), _ids(kitchen.get("sections")))
    into_recipes(at)
    asked = chosen("recipe")
    if asked not in known and known:
        asked = min(known, key=lambda id: (known[id][0], id))  # a component rather than a dish
    left, right = st.columns([1, 3], gap="medium")
    with left:
        listed(bodies, known, mine, asked)
    with right:
        if asked not in known:
            st.write("There is no recipe yet: add one." if at.chef else "There is no recipe yet.")
            return
        recipe(opened(at, *known[asked]))


def listed(
    bodies: dict[Key, Any], known: dict[str, Key], mine: tuple[Key, ...], asked: str
) -> None:
    """Recipes that a word is in, as a list to choose from."""
    word = st.text_input("Find", key="find recipe", placeholder="name, section, ingredient")
    rows = [row for id, key in sorted(known.items()) if (row := _row(id, bodies[key], word))]
    if not rows:
        st.write("No recipe has that in it.")
        return
    for row in rows:
        if known[str(row["id"])] in mine:
            row["Recipe"] = f"✎ {row['Recipe']}"
    ids = [str(row.pop("id")) for row in rows]

    def go() -> None:
        picked = st.session_state["recipe list"]["selection"]["rows"]
        if picked:
            choose("recipe", ids[picked[0]])

    st.dataframe(
        rows, key="recipe list", on_select=go, selection_mode="single-row", hide_index=True,
        height=min(460, 38 + 35 * len(rows)), alt="Recipes",
        column_config={"Recipe": st.column_config.TextColumn(width=170, help="✎: not saved yet")},
    )  # fmt: skip


def _row(id: str, body: Any, word: str) -> dict[str, Any] | None:
    """A line of the list; None where the word is not in the recipe."""
    if not isinstance(body, dict):
        body = {}
    if not all(w in str(body).lower() for w in word.lower().split()):
        return None
    name = str(body.get("name") or id)
    return {"id": id, "Recipe": short(name), "Section": body.get("section", "")}


def recipe(form: Form) -> None:
    """One recipe in full."""
    dish = form.one.kind == "dish"
    name = form.at(("name",))
    st.markdown(f"### {plain(form.one.id if name is ABSENT else name)}")
    st.caption(plain(f"{'dish' if dish else 'component'} {form.one.id}"))
    # Saving stands above what is saved, below the name.
    form.top = st.container()
    kitchen = form.documents.get(("kitchen", form.here.who.kitchen), {})
    zones = sorted({str(s.get("zone")) for s in kitchen.get("stores", [])})
    sections = _ids(kitchen.get("sections"))
    fields(form, of_recipe.basics(sections, dish), columns=3)
    path = _way(form)
    drawn(form, path)
    steps(form, path, kitchen, sections, zones)
    if dish:
        plated(form, sections, zones, kitchen)
    else:
        where = (*path, "keeps") if path[:1] == ("states",) else ("keeps",)
        table(form, where, of_recipe.keeps(zones), "Where it keeps, and how long")
        with st.expander("Batches, losses, weights"):
            fields(form, of_recipe.BATCHES, columns=3)
    with st.expander("Allergens and food safety"):
        fields(form, of_recipe.FOOD_OF_DISH if dish else of_recipe.FOOD, columns=2)
    ends(form)
    throwing_out(form)


def _way(form: Form) -> Path:
    """Which steps are looked at: its own, or those of another method or state."""
    ways = of_recipe.ways(form.one.body)
    if len(ways) == 1:
        return ()
    place = one_of("Steps of", list(ways), list(ways), "way") or 0
    return list(ways.values())[place]


def drawn(form: Form, path: Path) -> None:
    """The recipe over time, and what goes in, for the amount that is asked for."""
    body = form.one.body if isinstance(form.one.body, dict) else {}
    unit = "120 portions" if form.one.kind == "dish" else str(body.get("makes", "10 kg"))
    asked = st.text_input("For how much", key=form.key("scale"), placeholder=unit)
    wanted = None
    said = ""
    if asked.strip():
        try:
            wanted = Quantity.parse(asked)
            if wanted.base <= 0:
                raise ValueError(f"'{asked}' is nothing")
            amounts = over_time.amounts(body, path, wanted)
        except ValueError as error:
            wanted, said = None, str(error)
    if said:
        st.markdown(f"**✗** {plain(said, 300)}")
    count, batch = over_time.batches(body, wanted) if wanted else (1, None)
    if wanted is None:
        amounts = over_time.amounts(body, path, None)
    if count > 1:
        st.caption(plain(f"{count} batches of {batch}; drawn is one of them."))
    line = over_time.timeline(body, path, batch)
    st.plotly_chart(
        figure(line, colours()), theme=None, key=form.key("line"),
        config={"displayModeBar": False, "scrollZoom": False},
        alt="The recipe from its first step to service; the list below says the same",
    )  # fmt: skip
    for row in line.rows:
        if row.wrong:
            st.markdown(f"**✗** {plain(f'{row.name}: {row.says}', 300)}")
    unfolded = wanted is not None or on_phone()
    with st.expander("The same as a list, and the amounts", expanded=unfolded):
        first = [{"Step": short(r.name), "How long": r.says} for r in line.rows]
        st.dataframe(first, hide_index=True, alt="Steps over time")
        rows = [{"What": short(a.what), "How much": a.amount, "In": short(a.step)} for a in amounts]
        st.dataframe(rows, hide_index=True, alt="Amounts")


def steps(
    form: Form, path: Path, kitchen: dict[str, Any], sections: list[str], zones: list[str]
) -> None:
    """All steps as a table, one of them in full."""
    there = (*path, "steps")
    table(form, there, of_recipe.STEPS, "Steps")
    entries = form.at(there)
    ids = [str(s.get("id", i)) if isinstance(s, dict) else str(i)
           for i, s in enumerate(entries if isinstance(entries, list) else [])]  # fmt: skip
    place = one_of("One step in full", ids, ids, "step")
    if place is None:
        return
    one = (*there, place)
    with st.container(border=True):
        group = st.segmented_control(
            "Of this step", GROUPS, default=GROUPS[0], key=form.key("group"), required=True,
            label_visibility="collapsed",
        )  # fmt: skip
        _group(form, one, group or GROUPS[0], kitchen, sections, zones)
        if not form.shut and len(ids) > 1:
            with st.container(horizontal=True):
                for label, by in (("Earlier", -1), ("Later", 1)):
                    st.button(
                        label, key=form.key(label), on_click=form.change,
                        args=(lambda body, by=by: moved(body, there, place, by), there[0]),
                        disabled=not 0 <= place + by < len(ids),
                        help="Moves this step among the others",
                    )  # fmt: skip


def _group(
    form: Form, one: Path, group: str, kitchen: dict[str, Any], sections: list[str],
    zones: list[str],
) -> None:  # fmt: skip
    """One group of a step's fields; the others are not drawn, as a page has room for so many."""
    components = form.names("component")
    machines = _machines(kitchen)
    if group == "Time and hands":
        fields(form, of_recipe.TIME, path=one)
        table(form, (*one, "hands"), of_recipe.hands(sections), "Hands all the way")
        fields(form, of_recipe.LEAVING, columns=3, path=one)
    elif group == "Goes in and comes out":
        table(form, (*one, "takes"), of_recipe.takes(components), "Goes in when it starts")
        table(form, (*one, "gives"), of_recipe.gives(components), "Is left beside")
    elif group == "What it is on":
        table(form, (*one, "on"), of_recipe.on(machines, zones), "Equipment and shelves")
        fields(form, of_recipe.LOADS, columns=2, path=one)
    elif group == "Visits":
        for name in of_recipe.VISITS:
            fields(form, of_recipe.visit(name), path=one)
        table(form, (*one, "load", "hands"), of_recipe.hands(sections), "Hands to load")
        table(form, (*one, "tend"), of_recipe.TENDING, "Tended")
        table(form, (*one, "add"), of_recipe.ADDING, "Visited at set times")
    elif group == "Safety and cooling":
        fields(form, of_recipe.SAFETY, path=one)
        fields(form, of_recipe.COOLING, path=one)
    else:
        fields(form, of_recipe.then(zones), columns=3, path=one)


def plated(
    form: Form, sections: list[str], zones: list[str], kitchen: dict[str, Any]
) -> None:
    """What goes on the plate, who plates, and how long it may wait plated."""
    components = form.names("component")
    table(form, ("takes",), of_recipe.takes(components), "On the plate, per portion")
    fields(form, of_recipe.PLATING, columns=2)
    table(form, ("plating", "hands"), of_recipe.hands(sections), "Hands at the pass")
    table(
        form, ("plating", "on"), of_recipe.on(_machines(kitchen), zones), "Equipment at the pass"
    )
    st.markdown("**May wait plated**")
    fields(form, of_recipe.plated(zones), columns=3)


def _machines(kitchen: dict[str, Any]) -> list[str]:
    """Kinds of equipment, and units that have names."""
    found = []
    for kind in kitchen.get("equipment", []):
        found.append(str(kind.get("id")))
        units = kind.get("units")
        found += _ids(units) if isinstance(units, list) else []
    return found


def _ids(entries: Any) -> list[str]:
    some = entries if isinstance(entries, list) else []
    return [str(e["id"]) for e in some if isinstance(e, dict) and "id" in e]
