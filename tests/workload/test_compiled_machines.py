"""Doors, families of trays, goods that keep apart and clean-down, as primitives."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.trays import sizes
from tests.weeks.tiny import component, cook, dish, keep, kind, oven, step, store, week_of
from tests.workload.weeks import Week

COMBIS = oven(units=[
    {"id": "a", "holds": {"gn": 10, "sheet": 8}}, {"id": "b", "holds": {"gn": 6, "sheet": 5}},
], capacity=1)  # fmt: skip


def one(*steps: dict[str, Any], **rest: Any) -> Week:
    return Week(week_of(component("soup", *steps), **rest))


def test_what_goes_in_all_together_is_shared_and_shut() -> None:
    prove = step("prove", "1 h", on=[{"equipment": "prover", "per": "4 portions"}])
    prover = kind("prover", capacity=8, shut_while_running=True)
    (use,) = one(prove, equipment=[prover]).uses("soup.1/prove:run")
    assert (use.amount, use.shut) == (3, True)


def test_pots_of_one_place_each_have_no_door() -> None:
    pots = kind("pot", units=3, shut_while_running=True)
    week = one(step("cook", "1 h", on=[{"equipment": "pot"}]), equipment=[pots])
    (use,) = week.uses("soup.1/cook:run")
    assert not use.shut


@pytest.mark.parametrize(
    "holds",
    [
        [{"gn": 10, "sheet": 6}],
        [{"gn": 10, "sheet": 8}, {"gn": 6, "sheet": 5}],
        [{"gn": 20, "sheet": 16, "half": 40}, {"gn": 10, "sheet": 8, "half": 20}],
    ],
)
def test_of_each_family_of_trays_so_many_fit_as_it_holds_and_not_one_more(
    holds: list[dict[str, int]],
) -> None:
    found = sizes(holds)
    assert found is not None
    weight, size = found
    for unit, places in zip(holds, size, strict=True):
        assert {f: places // w for f, w in weight.items()} == unit


def test_ovens_that_differ_too_much_are_not_one_kind() -> None:
    assert sizes([{"gn": 10, "sheet": 2}, {"gn": 2, "sheet": 10}]) is None


def test_loads_are_as_large_as_the_family_of_trays_allows() -> None:
    def loads(tray: str) -> int:
        setting = {"coldest": 180, "hottest": 180}
        need = {"equipment": "oven", "tray": tray, "per": "1 portion", "setting": setting}
        week = one(step("bake", "1 h", on=[need], in_loads=True), equipment=[COMBIS], guests=40)
        return len(week.batch("soup.1").stages[0].loads)

    assert (loads("gn"), loads("sheet")) == (4, 5)


def test_trays_of_two_families_are_never_in_one_oven_at_once() -> None:
    def baked(name: str, tray: str) -> dict[str, Any]:
        setting = {"coldest": 180, "hottest": 180}
        need = {"equipment": "oven", "tray": tray, "amount": 2, "setting": setting}
        return component(name, step("bake", "1 h", on=[need]))

    week = Week(week_of(baked("tart", "sheet"), baked("duck", "gn"), equipment=[COMBIS]))
    (tart,), (duck,) = week.uses("tart.1/bake:run"), week.uses("duck.1/bake:run")
    assert tart.apart(duck) and duck.apart(tart) and not tart.apart(tart)
    assert (tart.amount, duck.amount) == (10, 8)


def test_fish_keeps_away_from_meringue_wherever_they_share_the_air() -> None:
    """In ovens and stores; not at burners, and not where the dish brings them together."""
    setting = {"coldest": 100, "hottest": 100}

    def made(name: str, **rest: Any) -> dict[str, Any]:
        steps = [
            step("cook", "1 h", on=[{"equipment": "burner"}]),
            step("dry", "1 h", on=[{"equipment": "oven", "setting": setting}]),
        ]
        return component(name, *steps, keeps=keep("24 h", "chilled"), **rest)

    week = Week(
        week_of(
            made("fish", not_beside=["meringue"]), made("meringue"), made("bread"),
            dishes=[dish("plate", "fish", "meringue", "bread", keeps=keep("1 h", "chilled"))],
            equipment=[oven(), kind("burner", capacity=4)],
            stores=[store("walk-in", "chilled", 20)],
        )
    )  # fmt: skip
    of = {(u.batch, week.resource(u)): u for u in week.problem.uses}

    def use(name: str, where: str) -> Any:
        batch = "supper.plate" if name == "plate" else f"{name}.1"
        found = [
            u for (b, _), u in of.items()
            if b == week.compiled.batch[batch]
            and where in {week.problem.resources[o.resource].id for o in week.options(u)}
        ]  # fmt: skip
        return found[0]

    for where in ("oven", "walk-in"):
        assert use("fish", where).apart(use("meringue", where))
        assert not use("fish", where).apart(use("bread", where))
    assert not use("fish", "burner").apart(use("meringue", "burner"))
    assert use("plate", "walk-in").apart(use("fish", "walk-in"))
    assert not use("plate", "walk-in").apart(use("plate", "walk-in"))


def ground(name: str, **rest: Any) -> dict[str, Any]:
    need = {"equipment": "stone"}
    return component(name, step("grind", "2 h", on=[need]), makes="2 kg", piece_weight="200 g",
                     **rest)  # fmt: skip


def test_a_stone_is_cleaned_before_anything_that_the_last_paste_must_not_be_in() -> None:
    dishes = [{"id": "plate", "section": "pass", "plating": {"per_hour": 600}, "takes": [
        {"component": c, "amount": "50 g"} for c in ("sesame", "pumpkin", "mixed")]}]  # fmt: skip
    rule = {"time": "60 min", "hands": [{"section": "stove"}]}
    stone = kind("stone", units=2, fill="5 kg", may_use="stone", clean_down=rule)
    week = Week(
        week_of(
            ground("sesame"), ground("pumpkin"), ground("mixed", leaves=["sesame", "pumpkin"]),
            dishes=dishes, equipment=[stone],
            people=[cook("ana", may_use=["stone"]), cook("bea")],
        )
    )  # fmt: skip
    state = {}
    for name in ("sesame", "pumpkin", "mixed"):
        (use,) = week.uses(f"{name}.1/grind:run")
        assert [week.problem.resources[o.resource].id for o in week.options(use)] == [
            "stone-1", "stone-2",
        ]  # fmt: skip
        state[name] = week.options(use)[0].state
    resource = next(r for r in week.problem.resources if r.id == "stone-1")
    assert resource.clean is not None and resource.setup is not None
    after, setup = resource.clean.after, resource.setup
    for one_, two, needed in [
        ("sesame", "pumpkin", True), ("sesame", "mixed", False), ("mixed", "sesame", True),
        ("sesame", "sesame", False),
    ]:  # fmt: skip
        s, t = state[one_], state[two]
        assert s is not None and t is not None
        assert after[s][t] is needed and setup[s][t] == (2 if needed else 0)
    (line,) = resource.clean.lines
    assert [week.problem.people[p][0] for p in line.people] == ["ana"]
    assert resource.clean.at_once
