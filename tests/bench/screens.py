"""How long the chart takes in a browser, and a click on a bar: with a new server, again, and busy.

Wanted: server healthy and cache empty to first chart 5 s, again 2.5 s; a click answered in 0.5 s
with 300 visits, in 1 s with 1,000, also while the week is being planned.
"""

from __future__ import annotations

import json
import re
import shutil
import statistics
import tempfile
import time
from argparse import ArgumentParser
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.request import urlopen

from scheduler.book import plans
from scheduler.book.exchange import import_week
from scheduler.book.opening import open_book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.domain.finding import shipped_plan
from scheduler.domain.reading import read_written
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, PlanFile, plan_of, plan_text, verdicts_of
from tests.bench.calibration import line
from tests.bench.planted import planted
from tests.browser.opened import Opened, opened, where

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DRAWN = ".js-plotly-plot .barlayer .point"
REST = 1500
"""Milliseconds between two clicks: the chart is drawn anew when a dialog is closed."""
HOVER = 300
"""Milliseconds that a hand takes from getting there to clicking; a chart wants to see it come."""
PATIENCE = 60_000
"""Milliseconds before it is given up."""
BARS = """() => [...document.querySelectorAll('.js-plotly-plot .barlayer .trace')].flatMap(trace =>
  [...trace.querySelectorAll('.point')].map(point => {
    const box = point.querySelector('path').getBoundingClientRect();
    const told = trace.__data__[0].trace.customdata[point.__data__.i];
    return [told[0], box.x + box.width / 2, box.y + box.height / 2, box.width];
  })).filter(([task, x, y, wide]) => task && wide > 8 && y > 0 && y < innerHeight)"""
"""The bars in the window that open a job: task, middle across, middle down, how wide."""
FACTS: dict[str, list[float]] = defaultdict(list)


def written(file: PlanFile, folder: Path) -> None:
    """A book in a folder, with a week and its plan on the wall."""
    text = folder / "written"
    text.mkdir()
    (text / "week.yaml").write_text(json.dumps(file.scenario.document()), encoding="utf-8")
    week, files = read_written(text)
    who = Who(week.kitchen.id, "bench", Role.CHEF)
    book = open_book(where(folder))
    try:
        import_week(book, who, week, files)
        verdicts = verdicts_of(audit(week, file.plan))
        kept = plans.keep(book, who, plan_text(file.plan, week, Made(), verdicts))
        put_up(book, who, kept.number, None)
    finally:
        book.close()


def address(app: Opened, file: PlanFile) -> str:
    """The chart of the first event's day, once the server is healthy."""
    first = min(e.first_plate for e in file.scenario.week.events)
    with urlopen(f"{app.address}/health") as said:
        assert said.status == 200
    return f"{app.address}/chart?view=chart&length=day&day={first.date()}"


@contextmanager
def page_of(browser: Browser) -> Iterator[Page]:
    """A window of a browser that knows nothing yet."""
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    yield page
    context.close()


def timed(name: str, what: Callable[[], object]) -> None:
    """Do it, and note how long it takes."""
    began = time.perf_counter()
    what()
    FACTS[name].append(time.perf_counter() - began)


def clicks(page: Page, name: str, count: int) -> None:
    """Click bars of different jobs, each until its dialog stands there."""
    page.wait_for_selector(DRAWN)
    there: dict[str, None] = dict.fromkeys(task for task, *_ in page.evaluate(BARS))
    for asked in list(there)[:count]:
        page.wait_for_selector(DRAWN)
        x, y = next((x, y) for task, x, y, _ in page.evaluate(BARS) if task == asked)
        page.mouse.move(x, y - 1)
        page.mouse.move(x, y)
        page.wait_for_timeout(HOVER)

        def click() -> None:
            page.mouse.down()
            page.mouse.up()
            page.get_by_role("dialog").get_by_text("Comes before it").wait_for()

        timed(name, click)
        page.keyboard.press("Escape")
        page.get_by_role("dialog").wait_for(state="detached")
        page.wait_for_timeout(REST)


def busy(page: Page) -> None:
    """Have the week planned, and wait until it is being made better."""
    page.get_by_role("button", name="How long").click()
    page.get_by_role("combobox", name="Search for").click()
    page.get_by_role("option", name="15 minutes").click()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Plan anew").click()
    page.get_by_text(re.compile("is here and gets better")).wait_for()


def run(browser: Browser, name: str, file: PlanFile, runs: int) -> None:
    """All of it for one week."""
    with tempfile.TemporaryDirectory() as made:
        written(file, Path(made))
        for _ in range(runs):
            with tempfile.TemporaryDirectory() as new:
                folder = Path(new)
                shutil.copy(where(Path(made)), where(folder))
                with opened(folder, "--port", "0") as app, page_of(browser) as page:
                    one(page, name, address(app, file), runs)


def one(page: Page, name: str, there: str, count: int) -> None:
    """One server from its start: first chart, again, clicks, and the same while it plans."""

    def load() -> None:
        page.goto(there)
        page.wait_for_selector(DRAWN)

    timed(f"{name}: first chart", load)
    timed(f"{name}: again", load)
    clicks(page, f"{name}: click", count)
    busy(page)
    timed(f"{name}: again, while it plans", load)
    clicks(page, f"{name}: click, while it plans", count)
    page.get_by_role("button", name="Stop, and keep the best").click()
    page.get_by_role("button", name="Plan anew").wait_for()


def demo() -> PlanFile:
    """The demo and the plan that comes with it."""
    path = shipped_plan("demo")
    assert path is not None
    return plan_of(path.read_text(encoding="utf-8"))


def large(visits: int, cache: Path | None) -> PlanFile:
    """A planted week and its hidden plan."""
    week = planted(visits, False, 103, cache)
    report = audit(week.scenario, week.plan)
    return PlanFile(week.scenario, week.plan, Made(), verdicts_of(report))


def main(arguments: list[str]) -> int:
    """Medians of the demo and of a large planted week in Chromium."""
    from playwright.sync_api import sync_playwright

    parser = ArgumentParser(prog="python -m tests.bench screens", description=main.__doc__)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--visits", type=int, default=1000, help="0: the demo alone")
    parser.add_argument("--cache", type=Path, default=None, help="folder for planted weeks")
    options = parser.parse_args(arguments)
    print(line(), flush=True)
    weeks = {"demo": demo()}
    if options.visits:
        weeks[f"{options.visits} visits"] = large(options.visits, options.cache)
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=found, args=["--disable-gpu", "--no-sandbox"]
        )
        for name, file in weeks.items():
            run(browser, name, file, options.runs)
        browser.close()
    for name, values in FACTS.items():
        spread = f"{min(values):.2f} to {max(values):.2f}"
        print(f"{name:36} median {statistics.median(values):6.2f} s   ({spread})")
    print(line())
    return 0
