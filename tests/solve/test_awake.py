"""Sleep uses up no time to plan in, and a busy machine is not taken for a sleeping one."""

from __future__ import annotations

import threading
import time
from pathlib import Path

from scheduler.solve.awake import GAP, TICK, Awake
from scheduler.solve.budget import Budget
from scheduler.solve.job import beat
from scheduler.solve.listening import LOOK, SILENT, Lines, Pulse


class Wall:
    """A clock set by hand."""

    now = 100.0

    def __call__(self) -> float:
        return self.now


def test_a_night_asleep_leaves_the_time_that_was_left() -> None:
    wall = Wall()
    clock = Awake(wall)
    budget = Budget(20.0, False, lambda: False, clock)
    for _ in range(20):
        wall.now += TICK
        clock()
    assert budget.left() == 15.0
    wall.now += 8 * 3600
    assert not budget.until(1.0)(), "the search found its time used up on waking"
    assert budget.left() == 15.0
    assert clock.slept == 8 * 3600


def test_a_busy_machine_is_not_taken_for_a_sleeping_one() -> None:
    wall = Wall()
    clock = Awake(wall)
    for _ in range(10):
        wall.now += GAP - 0.1
        clock()
    assert clock.slept == 0
    assert clock() == wall.now


def test_waking_is_told(tmp_path: Path) -> None:
    wall = Wall()
    clock, ended = Awake(wall), threading.Event()
    thread = threading.Thread(target=beat, args=(tmp_path, ended, clock))
    thread.start()
    wall.now += 60
    events: list[dict[str, object]] = []
    until = time.monotonic() + 20
    while not events and time.monotonic() < until:
        events = list(Lines(tmp_path / "events.jsonl"))
        time.sleep(0.01)
    ended.set()
    thread.join()
    assert events == [{"kind": "woken", "slept": 60.0}]
    assert (tmp_path / "heartbeat").exists()


def looked(pulse: Pulse, wall: Wall, seconds: float, step: float = 0.1) -> list[str]:
    said = []
    for _ in range(round(seconds / step)):
        wall.now += step
        felt = pulse.look()
        said += [felt["kind"]] if felt else []
    return said


def test_a_job_that_stands_still_is_said_to_and_taken_up_when_it_moves(tmp_path: Path) -> None:
    wall, heart = Wall(), tmp_path / "heartbeat"
    pulse = Pulse(heart, wall)
    assert looked(pulse, wall, 60) == [], "it has not begun yet"
    heart.touch()
    assert looked(pulse, wall, SILENT - 1) == []
    assert looked(pulse, wall, 60) == ["silent"]
    heart.write_text("")  # another time of change, however coarse the clock of the disk
    assert looked(pulse, wall, 1) == ["back"]


def test_a_laptop_that_slept_as_a_whole_does_not_call_its_search_still(tmp_path: Path) -> None:
    wall, heart = Wall(), tmp_path / "heartbeat"
    heart.touch()
    pulse = Pulse(heart, wall)
    looked(pulse, wall, 1)
    assert looked(pulse, wall, 3600, step=3600) == [], f"one look counts {LOOK} s at most"


def test_a_line_cut_off_by_a_full_disk_does_not_hide_the_next(tmp_path: Path) -> None:
    path = tmp_path / "events.jsonl"
    lines = Lines(path)
    assert list(lines) == []
    path.write_text('{"kind": "first", "sec\n{"kind": "better", "bound": 3}\n{"kind"')
    assert list(lines) == [{"kind": "better", "bound": 3}]
    with path.open("a") as file:
        file.write(': "done"}\n')
    assert list(lines) == [{"kind": "done"}]
