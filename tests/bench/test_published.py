"""The bench of published sets: an even sample, in an order that may be cut anywhere."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.bench.published import main, spread
from tests.bench.published_table import Row, Tally, table
from tests.published.instances import ABSENT, Instance, folder
from tests.published.verdict import Verdict

SETS = {"a": 40, "b": 8}
KNOWN = [Instance("f", g, f"{g}{n}", 1, 10) for g, many in SETS.items() for n in range(many)]


def test_a_sample_is_spaced_evenly_and_takes_all_of_a_small_set() -> None:
    chosen = spread(KNOWN, 10)
    assert Counter(i.group for i in chosen) == {"a": 10, "b": 8}
    assert sorted(int(i.name[1:]) for i in chosen if i.group == "a") == list(range(0, 40, 4))
    assert sorted(map(id, spread(KNOWN))) == sorted(map(id, KNOWN)), "without a number all of it"


def test_all_sets_progress_alike_so_that_a_cut_is_fair() -> None:
    half = Counter(i.group for i in spread(KNOWN)[:24])
    assert abs(half["a"] - 20) <= 1
    assert abs(half["b"] - 4) <= 1


def test_the_table_counts_what_is_undecided_and_how_far_off_the_rest_is() -> None:
    one, two, three = KNOWN[:3]
    ours, plain = Tally("f a"), Tally("f a, plain")
    ours.add(one, Verdict(True, True, False, 10), 0.5)
    ours.add(two, Verdict(False, False, False, 11), 10.0)
    ours.add(three, Verdict(False, False, False, None, "why"), 10.0)
    for instance in (one, two, three):
        plain.add(instance, Verdict(True, False, False, 12), 3.0)
    assert ours.undecided == 1
    assert ours.wrong == ["f a a2: why"]
    last = table([Row("f a", ours, plain)]).splitlines()[-1]
    assert last == (
        "| f a | 3 | 2 (3) | 1 (3) | 1 (0) | 5.00 % (20.00 %) | 10.00 % (20.00 %) "
        "| 1 (0) | 33 % (0 %) | 33 % (100 %) | 6.83 (3.00) |"
    )


@pytest.mark.skipif(folder() is None, reason=ABSENT)
def test_a_budget_that_is_too_short_says_what_was_left_out(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["--set", "ft", "--seconds", "1", "--budget", "0.01"]) == 0
    assert "left out, no time: job shop ft: 3" in capsys.readouterr().out
