"""The shape of the code: imports run one way, heavy things are loaded late, names stay free."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SCHEDULER = ROOT / "scheduler"

# Package: what of ours it may import, besides itself.
MAY_IMPORT = {
    "scheduler.heat": set(),
    "scheduler.domain": {"scheduler.heat"},
    "scheduler.plan": {"scheduler.domain", "scheduler.heat"},
    "scheduler.safety": {"scheduler.domain", "scheduler.heat", "scheduler.plan"},
    "scheduler.workload": {
        "scheduler.domain", "scheduler.heat", "scheduler.plan.model", "scheduler.plan.words",
        "scheduler.safety",
    },
    "scheduler.solve": {
        "scheduler.domain", "scheduler.heat", "scheduler.plan", "scheduler.safety",
        "scheduler.workload",
    },
    "scheduler.reshuffle": {
        "scheduler.domain", "scheduler.heat", "scheduler.plan", "scheduler.safety",
        "scheduler.solve", "scheduler.workload",
    },
    "scheduler.book": {
        "scheduler.domain", "scheduler.heat", "scheduler.plan", "scheduler.safety",
    },
    "scheduler.outputs": {
        "scheduler.domain", "scheduler.heat", "scheduler.plan", "scheduler.safety",
        "scheduler.book.recording", "scheduler.book.standing",  # what the record says; pure
    },
    "scheduler.pasted": {"scheduler.domain", "scheduler.heat"},
    "scheduler.plan.audit": {"scheduler.domain", "scheduler.heat", "scheduler.plan.model"},
}
HEAVY = {"ortools", "streamlit", "plotly", "pandas"}
SCREENS = {"streamlit", "plotly", "uvicorn", "starlette", "ui"}
# What the screens may import besides themselves: rooms of ours, and packages of the extra `ui`
# (and pydantic, in whose terms mistakes are told).
UI_MAY_IMPORT = {
    "scheduler.book", "scheduler.domain", "scheduler.outputs", "scheduler.pasted",
    "scheduler.plan", "scheduler.reshuffle", "scheduler.safety", "scheduler.solve",
    "scheduler.workload",
}
UI_PACKAGES = {"pydantic", "streamlit", "plotly", "pandas", "uvicorn", "starlette", "anyio"}


def modules() -> Iterator[tuple[str, Path]]:
    """Every module of the package by its dotted name."""
    for path in sorted(SCHEDULER.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path


def imports(path: Path) -> set[str]:
    """Everything a file imports anywhere in it, also inside functions."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import"
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def inside(name: str, package: str) -> bool:
    return name == package or name.startswith(package + ".")


def tracked() -> list[Path]:
    """Files under version control, as far as they are there."""
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, encoding="utf-8", check=False
    )
    if listed.returncode != 0:
        pytest.skip("not in a git checkout")
    return [ROOT / name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]


@pytest.mark.parametrize("package", MAY_IMPORT)
def test_imports_run_one_way(package: str) -> None:
    allowed = MAY_IMPORT[package] | {package}
    wrong = [
        f"{module} imports {name}"
        for module, path in modules()
        if inside(module, package)
        for name in imports(path)
        if inside(name, "scheduler") and not any(inside(name, one) for one in allowed)
    ]
    assert wrong == []


def test_the_physics_needs_nothing_but_python_itself() -> None:
    wrong = [
        f"{module} imports {name}"
        for module, path in modules()
        if inside(module, "scheduler.heat")
        for name in imports(path)
        if not inside(name, "scheduler") and name.partition(".")[0] not in sys.stdlib_module_names
    ]
    assert wrong == []


def test_only_the_model_imports_the_solver() -> None:
    having = {m for m, path in modules() if any(inside(n, "ortools") for n in imports(path))}
    assert all(inside(m, "scheduler.solve.cpsat") or inside(m, "scheduler.explain") for m in having)


@pytest.mark.parametrize(
    "package",
    [
        "domain", "workload", "plan", "safety", "reshuffle", "book", "outputs", "pasted",
        "commands",
    ],
)
def test_the_rooms_around_the_solver_need_nothing_heavy(package: str) -> None:
    wrong = [
        f"{module} imports {name}"
        for module, path in modules()
        if inside(module, f"scheduler.{package}")
        for name in imports(path)
        if name.partition(".")[0] in HEAVY
    ]
    assert wrong == []


def test_nobody_looks_at_the_clock_on_the_wall() -> None:
    # Now is data: the week says `plan_from`. How long something takes is another clock.
    wall = {"now", "today", "utcnow", "time", "time_ns", "localtime", "gmtime", "ctime"}
    wrong = [
        f"{module}:{node.lineno}"
        for module, path in modules()
        if module != "scheduler.book.opening"  # The book says when something was entered.
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and isinstance(node.func.value, ast.Name)
        and node.func.value.id in {"time", "datetime", "date"}
        and node.func.attr in wall
    ]
    assert wrong == []


def test_nothing_below_the_screens_imports_them_but_the_command_that_opens_them() -> None:
    having = {
        (module, name)
        for module, path in modules()
        for name in imports(path)
        if name.partition(".")[0] in SCREENS
    }
    assert {module for module, _ in having} == {"scheduler.commands.open"}
    assert {name for _, name in having} == {"ui.opening.Wish", "ui.opening.open_screens"}


def test_screens_import_the_rooms_below_and_what_their_extra_brings() -> None:
    wrong = []
    for path in sorted((ROOT / "ui").rglob("*.py")):
        for name in imports(path):
            top = name.partition(".")[0]
            if inside(name, "scheduler"):
                fine = any(inside(name, one) for one in UI_MAY_IMPORT)
            else:
                fine = top in {"ui", *UI_PACKAGES} or top in sys.stdlib_module_names
            if not fine:
                wrong.append(f"{path.relative_to(ROOT)} imports {name}")
    assert wrong == []


@pytest.mark.parametrize(
    ("module", "absent"),
    [
        ("scheduler", {"pydantic", "typer", "numpy", "pandas", "ortools"}),
        ("scheduler.cli", {"numpy", "pandas", "ortools", "sqlalchemy", "alembic"}),
        ("scheduler.commands.plan", {"pydantic", "numpy", "pandas", "ortools"}),
        ("scheduler.commands.open", SCREENS),
        ("ui.opening", {"streamlit", "plotly", "pandas", "uvicorn", "ortools"}),
        ("scheduler.api", {"numpy", "pandas", "ortools"}),
        ("scheduler.solve.job", {"pydantic", "numpy", "pandas", "ortools", "sqlalchemy"}),
        ("scheduler.solve.engine", {"pandas", "ortools"}),
        ("scheduler.plan.audit", {"numpy", "pandas", "ortools"}),
    ],
)
def test_what_is_imported_early_loads_nothing_slow(module: str, absent: set[str]) -> None:
    script = f"import sys, {module}\nprint(*sys.modules)"
    ran = subprocess.run(
        [sys.executable, "-c", script],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=True,
    )
    assert absent & set(ran.stdout.split()) == set()


def test_a_script_finds_what_it_needs_by_name() -> None:
    import scheduler

    for name in scheduler.__all__:
        assert callable(getattr(scheduler, name))
    assert set(scheduler.__all__) <= set(dir(scheduler))
    with pytest.raises(AttributeError, match="no attribute 'palN'"):
        scheduler.palN  # noqa: B018


def test_no_screen_is_named_like_a_module_of_python() -> None:
    names = {p.stem for p in (ROOT / "ui").rglob("*.py")}
    assert names & set(sys.stdlib_module_names) == set()


def test_no_module_is_too_long_to_read_in_one_sitting() -> None:
    paths = [*SCHEDULER.rglob("*.py"), *(ROOT / "ui").rglob("*.py")]
    lengths = {p: len(p.read_text(encoding="utf-8").splitlines()) for p in paths}
    assert {p.name: n for p, n in lengths.items() if n > 400} == {}


def test_the_top_level_stays_as_it_is() -> None:
    known = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
    known |= {"scheduler", "ui", "scenarios", "tests"}
    there = {p.relative_to(ROOT).parts[0] for p in tracked()}
    assert {name for name in there if not name.startswith(".")} <= known


def test_no_path_of_one_machine_stands_in_a_file() -> None:
    machine = re.compile(
        r"(^|[^A-Za-z0-9_./:}])/(work/(main|steering|shared|\.)|tmp/[a-z]|root/|farm/|home/[a-z])"
        r"|\.\./\.library",
        re.MULTILINE,
    )
    wrong = {}
    for path in tracked():
        raw = path.read_bytes()
        if b"\0" not in raw and (hit := machine.search(raw.decode("utf-8"))):
            wrong[path.relative_to(ROOT).as_posix()] = hit.group().strip()
    assert wrong == {}
