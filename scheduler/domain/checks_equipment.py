"""Equipment: what a kind can be, and whether what recipes ask of it can be had."""

from __future__ import annotations

from scheduler.domain.base import Alone
from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import Equipment, Heat
from scheduler.domain.problems import Problem, nearest
from scheduler.domain.recipes import Need, Plating, Setting, Step, Visit
from scheduler.domain.times import write_duration
from scheduler.domain.walks import counted, needs, places, steps


def equipment(draft: Draft) -> list[Problem]:
    """Every kind makes sense, and every need can be met by some machine."""
    found = [p for kind in draft.kitchen.equipment for p in _kind(draft, kind)]
    for _, holder, need in needs(draft):
        found += _need(draft, holder, need)
        found += _setting(draft, need)
    for recipe, step in steps(draft):
        order = [s.id for s in recipe.steps] if any(n.until for n in step.on) else []
        later = order[order.index(step.id) + 1 :] if order else []
        for need in step.on:
            if need.until is not None and need.until not in later:
                found.append(_until(draft, need, later))
        found += _attended(draft, step)
        if step.then is not None and step.then.in_machine and not any(n.equipment for n in step.on):
            what = "it waits in its machine, and the step is on none"
            found.append(draft.problem(step.then, "in_machine", what=what))
    return found


def _kind(draft: Draft, kind: Equipment) -> list[Problem]:
    found = []

    def wrong(what: str, *inside: str | int, maybe: str = "") -> None:
        found.append(draft.problem(kind, *inside, what=what, maybe=maybe))

    fills = [unit.fill for unit in kind.each]
    if any(f is not None for f in fills):
        if any(f is None for f in fills):
            wrong("some units have a `fill` and some have none", "units")
        if any((unit.capacity or 1) > 1 for unit in kind.each):
            wrong("with a `fill` it takes one load at a time: no `capacity`", "capacity")
        if len({f.dimension for f in fills if f is not None}) > 1:
            wrong("some units are filled by mass, some by volume or pieces", "units")
        if any(f is not None and f.base <= 0 for f in fills):
            wrong("a `fill` of nothing", "fill")
    if kind.per_shelf is not None and kind.heat is not None:
        wrong("a container (per_shelf) that heats", "per_shelf")
    if kind.heat is not None:
        found += _heat(draft, kind, kind.heat)
    return found


def _heat(draft: Draft, kind: Equipment, heat: Heat) -> list[Problem]:
    found = []
    if heat.hottest < heat.coldest:
        what = f"the range is upside down: {heat.coldest} to {heat.hottest} °C"
        found.append(draft.problem(heat, "hottest", what=what))
    if not heat.modes:
        found.append(draft.problem(heat, "modes", what="an oven without a mode"))
    warm = -(-max(0, heat.hottest - heat.ambient) // heat.up)
    if heat.goes_cold_after < warm:
        what = (
            f"cold again after {write_duration(heat.goes_cold_after)}, before it could heat from "
            f"{heat.ambient} to {heat.hottest} °C, which takes {write_duration(warm)}"
        )
        found.append(draft.problem(heat, "goes_cold_after", what=what, maybe=write_duration(warm)))
    return found


def _need(draft: Draft, holder: Step | Visit | Plating, need: Need) -> list[Problem]:
    name = need.equipment or need.zone or ""
    found = []
    if need.until is not None and not isinstance(holder, Step):
        what = "`until` belongs to what a step is on; a visit's equipment is free when it ends"
        found.append(draft.problem(need, "until", what=what))
    if need.until is not None and need.zone is not None:
        found.append(draft.problem(need, "until", what="`until` is for containers, not shelves"))
    if need.zone is not None:
        most = max((s.shelves for s in draft.zones.get(name, ())), default=need.amount)
        if need.per is None and need.amount > most:
            what = f"{need.amount} shelves; the largest store of zone {name} has {most}"
            found.append(draft.problem(need, "amount", what=what))
        return found
    units = draft.units_of(name)
    if not units:
        return found
    if units[0][1].fill is not None and (need.per is not None or need.amount > 1):
        what = f"{name} is taken whole, one load at a time: no `amount` and no `per`"
        found.append(draft.problem(need, "per" if need.per else "amount", what=what))
    elif need.per is None and need.amount > (most := places(draft, name, need.tray)):
        what = f"{need.amount} places at once; {name} has {most}"
        found.append(draft.problem(need, "amount", what=what))
    if need.per is not None and need.amount > 1:
        what = "places are `amount` or by `per`, not both"
        found.append(draft.problem(need, "amount", what=what))
    if isinstance(holder, Visit) and holder.__class__ is not Visit:
        kind = units[0][0]
        if kind.heat is not None or (len(units) > 1 and not counted(draft, kind)):
            what = f"a visit while a step runs cannot choose among machines or heat one: {name}"
            found.append(draft.problem(need, what=what, maybe="a step of its own"))
    return found


def _setting(draft: Draft, need: Need) -> list[Problem]:
    units = draft.units_of(need.equipment or "")
    if not units:
        if need.setting is not None and need.zone is not None:
            what = f"a store has no setting, and {need.zone} is a zone"
            return [draft.problem(need, "setting", what=what)]
        return []
    kind = units[0][0]
    if kind.heat is None:
        if need.setting is None:
            return []
        what = f"{kind.id} does not heat, so it has no setting"
        return [draft.problem(need, "setting", what=what, maybe=f"`heat` for {kind.id}")]
    if need.setting is None:
        what = f"{kind.id} heats, and no setting is given"
        return [draft.problem(need, what=what, maybe="'setting: {coldest: …, hottest: …}'")]
    return _in_range(draft, kind, kind.heat, need.setting)


def _in_range(draft: Draft, kind: Equipment, heat: Heat, setting: Setting) -> list[Problem]:
    found = []
    if setting.mode not in heat.modes:
        meant = nearest(setting.mode, heat.modes) or (heat.modes[0] if heat.modes else "")
        what = f"{kind.id} has no mode '{setting.mode}': {', '.join(heat.modes)}"
        found.append(draft.problem(setting, "mode", what=what, maybe=meant and f"'{meant}'"))
    if setting.coldest < heat.coldest or setting.hottest > heat.hottest:
        what = (
            f"{setting.coldest} to {setting.hottest} °C; {kind.id} goes from {heat.coldest} "
            f"to {heat.hottest} °C"
        )
        field = "coldest" if setting.coldest < heat.coldest else "hottest"
        found.append(draft.problem(setting, field, what=what))
    return found


def _until(draft: Draft, need: Need, later: list[str]) -> Problem:
    meant = nearest(need.until or "", later)
    what = f"'{need.until}' is no later step"
    what += f"; later are: {', '.join(later)}" if later else ""
    return draft.problem(need, "until", what=what, maybe=meant and f"'{meant}'")


def _attended(draft: Draft, step: Step) -> list[Problem]:
    if step.hands:
        return []
    found = []
    for need in step.on:
        for kind, _ in draft.units_of(need.equipment or "")[:1]:
            if kind.unattended is Alone.NEVER:
                what = f"{kind.id} never runs alone, so somebody must be at it all the way"
                hint = "`hands`, without load and unload"
                found.append(draft.problem(need, what=what, maybe=hint))
    return found
