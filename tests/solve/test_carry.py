"""From one choice to another: what is the same in both stays where it is."""

from __future__ import annotations

from random import Random

from scheduler.domain.reading import scenario_of
from scheduler.solve.carry import carry, translated
from scheduler.solve.check import violations
from scheduler.solve.construct import construct, drop_hopeless
from scheduler.solve.index import Index
from scheduler.solve.week import Week, week_of
from tests.weeks.tiny import component, cook, keep, kind, span, step, take, visit
from tests.weeks.tiny import week_of as written

MOUSSE = component(
    "mousse",
    step("whip", "60 min", hands=1, takes=[take("puree")]),
    step("set", "6 h", on=[{"zone": "chilled", "per": "5 portions"}]),
    keeps=keep("24 h", "chilled", per_shelf="5 portions"),
    methods=[
        {
            "id": "blast",
            "steps": [
                step("whip", "60 min", hands=1, takes=[take("puree")]),
                step("blast", "2 h", on=[{"equipment": "chiller"}]),
            ],
        }
    ],
)
SOUP = component(
    "soup",
    step(
        "simmer", span("3 h", "5 h"), load=visit("30 min"), unload=visit("30 min"),
        tend=[visit("30 min", every="90 min", give_or_take="30 min")], on=[{"equipment": "pot"}],
    ),
    keeps=keep("24 h", "chilled"),
)
PUREE = component("puree", step("cook", "60 min", hands=1), keeps=keep("24 h", "chilled"))


def choice(**chosen: str) -> Week:
    document = written(
        MOUSSE, PUREE, SOUP, people=[cook("ana"), cook("bo")],
        equipment=[kind("chiller"), kind("pot")],
    )
    return week_of(scenario_of(document), {f"{name}.1": way for name, way in chosen.items()})


def test_from_a_problem_to_itself_nothing_moves() -> None:
    problem = choice().compiled.problem
    board = construct(Index(problem), Random(1))
    solution = board.solution()
    assert translated(problem, solution, choice().compiled.problem) == solution
    assert carry(problem, solution, Index(problem)).solution() == solution


def test_what_another_method_does_not_touch_stays_where_it_is() -> None:
    own, other = choice().compiled.problem, choice(mousse="blast").compiled.problem
    board = construct(Index(own), Random(1))
    drop_hopeless(board)
    before = board.solution()
    after = carry(own, before, Index(other)).solution()
    assert violations(other, after) == []
    assert after.placed(other) == frozenset(range(len(other.batches)))

    def times(problem: object, solution: object, batch: str) -> object:
        names = {b.id: b for b in problem.batches}  # type: ignore[attr-defined]
        return [solution.times[t] for t in names[batch].tasks]  # type: ignore[attr-defined]

    for batch in ("soup.1", "puree.1", "supper.plate"):
        assert times(own, before, batch) == times(other, after, batch)
