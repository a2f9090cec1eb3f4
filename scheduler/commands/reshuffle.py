"""`backtime reshuffle`: a plan that has broken, made anew, and what that means for whom."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.commands.codes import Exit
from scheduler.commands.hearing import Ear
from scheduler.commands.keeping import SUFFIX, Place
from scheduler.commands.place import check_file
from scheduler.commands.plan import LONGEST, ask, code_of, figures, keep, owned_up, started
from scheduler.commands.terminal import say, say_all, tell
from scheduler.solve.running import follow

if TYPE_CHECKING:
    from scheduler.plan.changes import Comparison
    from scheduler.plan.file import PlanFile
    from scheduler.reshuffle.asking import Asked
    from scheduler.reshuffle.help import Mending
    from scheduler.reshuffle.proposal import Proposal


@dataclass(frozen=True, slots=True)
class Asking:
    """What has happened, as it was said.

    Attributes
    ----------
    now : str
        The moment, by the kitchen's wall clock.
    said : dict of str to list of str
        Option without its dashes: what was said with it.
    again, resume, good, last_cold, keep : list of str
        Tasks that start again, or go on; what of a store is still good, and when it was last read
        as cold; tasks that stay.
    """

    now: str
    said: Mapping[str, Sequence[str]]
    again: Sequence[str] = ()
    resume: Sequence[str] = ()
    good: Sequence[str] = ()
    last_cold: Sequence[str] = ()
    keep: Sequence[str] = ()
    seconds: float = 10
    seed: int = 1
    deterministic: bool = False
    as_json: bool = False


def reshuffle(path: Path, asking: Asking, out: Path | None) -> Exit:
    """Plan anew what has broken, write the new plan and say what changes; the old one stays."""
    if not (math.isfinite(asking.seconds) and 0 < asking.seconds <= LONGEST):
        tell(f"--seconds {asking.seconds:g} is no time to plan in. Maybe --seconds 10")
        return Exit.BAD_INPUT
    with started() as job:
        what = _asked(path, asking)
        target = out or path.with_name(f"{what.scenario.week.id}.reshuffled{SUFFIX}")
        if target.resolve() == path.resolve():
            tell(f"The new plan would take the place of the old one, {path}. Name another --out.")
            return Exit.BAD_INPUT
        check_file(target)
        place = Place(target)
        ask(job, what.request(asking.seconds, asking.seed, asking.deterministic))
        ear = Ear(job, place, asking.seconds)
        ear.begin(what.scenario.week.name or what.scenario.week.id, "Reshuffling")
        outcome = follow(job, ear)
        ear.end()
        if outcome.problems:
            from scheduler.domain.problems import BadInput, Problem
            from scheduler.reshuffle.asking import named

            raise BadInput(named(what, [Problem(**fields) for fields in outcome.problems]))
        file = keep(job, place)
        if file is not None:
            from scheduler.reshuffle.proposal import Proposal

            proposal = Proposal(what, place.text or "")
            if not asking.as_json:
                say_all(_lines(proposal))
            stopped = outcome.interrupted or outcome.broken or outcome.failed
            mended = None if stopped else _help(proposal, asking)
            if asking.as_json:
                figures_ = _figures(proposal, mended, file, place.path)
                say(json.dumps(figures_, ensure_ascii=False, indent=1))
            elif mended is not None:
                say_all(["", "What would help:", *(f"  {line}" for line in mended.lines())])
            tell(f"Written to {place.path}; {path} is as it was.")
        if outcome.interrupted:
            if file is None:
                tell("Stopped before there was a plan; nothing is written.")
            return Exit.INTERRUPTED
        if outcome.broken or outcome.failed or file is None:
            return owned_up(job, outcome, None if file is None else place.path)
        return code_of(file)


def _asked(path: Path, asking: Asking) -> Asked:
    """What is to be planned anew.

    Raises
    ------
    BadInput
        For whatever makes no sense.
    """
    from scheduler.domain.problems import BadInput, Problem, nearest
    from scheduler.domain.staying import Staying
    from scheduler.domain.times import read_moment
    from scheduler.plan.file import plan_of
    from scheduler.plan.opening import text_of
    from scheduler.reshuffle.asking import asked
    from scheduler.reshuffle.words import setbacks_of

    text = text_of(path)
    try:
        now = read_moment(asking.now)
    except ValueError as error:
        raise BadInput([Problem("setbacks", None, None, "--now", str(error))]) from None
    setbacks = setbacks_of(
        asking.said, now, asking.again, asking.resume, asking.good, asking.last_cold
    )
    stay, problems = [], []
    if asking.keep:
        file = plan_of(text, str(path))
        tasks = {t.id: t for t in file.plan.tasks}
        for name in asking.keep:
            if name not in tasks:
                maybe = nearest(name, tasks)
                where = f"--keep {name}"
                problems.append(Problem("setbacks", None, None, where, "no such task", maybe))
                continue
            start = file.scenario.clock.local(tasks[name].start)
            stay.append(Staying(task=name, start=start))
    if problems:
        raise BadInput(problems)
    return asked(text, setbacks, now, stay, name=str(path))


def _lines(proposal: Proposal) -> Iterator[str]:
    """One sentence first; what gives; then by person, by event, by batch; then figures."""
    found = proposal.comparison
    yield found.headline
    said = {"What cannot be saved:": proposal.gives(), "Also:": proposal.besides()}
    for head, lines in said.items():
        these = list(lines)
        if these:
            yield ""
            yield head
            yield from (f"  {line}" for line in these)
    yield from _told(found)
    changed = [f for f in found.figures if f.changed]
    if changed:
        yield ""
        yield from (f"{f.name}: {f.after} instead of {f.before}" for f in changed)
    findings = proposal.file.verdicts.findings
    if findings:
        yield ""
        yield "Do not cook from this plan: " + "; ".join(f"{f.where}: {f.what}" for f in findings)


def _told(found: Comparison) -> Iterator[str]:
    for person in found.people:
        yield ""
        yield person.name
        yield from (f"  {job.said}" for job in person.jobs)
    events = [e for e in found.events if e.said]
    if events:
        yield ""
        yield from (f"{e.name} {e.said}" for e in events)
    if found.batches:
        yield ""
        yield from (b.said for b in found.batches)


def _help(proposal: Proposal, asking: Asking) -> Mending | None:
    """What would mend what gives; None where nothing does. Ctrl-C ends looking for it."""
    from scheduler.reshuffle.help import Mending

    if not proposal.file.plan.unserved:
        return None
    tell("Looking for what would help …")
    try:
        return proposal.help(asking.seconds, asking.deterministic)
    except (KeyboardInterrupt, OSError):  # the plan is written; this is said besides
        return Mending((), broken=True)


def _figures(
    proposal: Proposal, mended: Mending | None, file: PlanFile, target: Path
) -> dict[str, Any]:
    """What `--json` prints: the comparison, and of the new plan what `plan --json` prints."""
    found = proposal.comparison
    return {
        "headline": found.headline,
        "parent": proposal.parent,
        "gives": list(proposal.gives()),
        "besides": list(proposal.besides()),
        "help": [one.plain() for one in mended.helps] if mended else [],
        "not_looked_at": list(mended.unlooked) if mended else [],
        "people": [
            {"person": p.person, "jobs": [{"kind": j.kind, "said": j.said} for j in p.jobs]}
            for p in found.people
        ],
        "events": [{"event": e.event, "said": e.said} for e in found.events],
        "batches": [{"batch": b.batch, "kind": b.kind, "said": b.said} for b in found.batches],
        "figures": [asdict(f) for f in found.figures],
        "new": figures(file, target, [], ()),
    }
