"""The commands that only read: work, show, audit, schema, scenarios."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, say_all
from scheduler.plan.by import By


def work(scenario: str) -> Exit:
    """What is made, how much, for whom, and how many hands that takes: before any planning."""
    from scheduler.commands.scenario import read_week

    read = read_week(scenario)
    from scheduler.workload.compile import compile_week
    from scheduler.workload.render import render_work
    from scheduler.workload.work import work_out

    workload = work_out(read)
    say_all(render_work(read, workload, compile_week(read, workload)))
    return Exit.FINE


def show(path: Path, by: By) -> Exit:
    """A plan as a table; first a warning where the second reader does not agree with it."""
    from scheduler.plan.file import read_plan
    from scheduler.plan.show import show as lines

    file = read_plan(path)
    if not file.report.valid:
        rules = ", ".join(sorted({f.rule for f in file.report.findings}))
        say(f"Do not cook from this plan: it breaks {rules}. See `backtime audit`.\n")
    say_all(lines(file.scenario, file.plan, by))
    return Exit.FINE


def audit(path: Path) -> Exit:
    """Both verdicts on a plan, and everything that is wrong with it by rule."""
    from scheduler.plan.file import PlanFile, read_plan

    def lines(file: PlanFile) -> Iterator[str]:
        from scheduler.domain.classes import not_checked_yet
        from scheduler.domain.limits import DEFER
        from scheduler.plan.audit import RULES
        from scheduler.plan.audit.rules import PUBLISHED
        from scheduler.plan.freshness import freshness
        from scheduler.plan.words import Names, several
        from scheduler.plan.working import eaten_notes, overtime_line, rest_notes

        report, names = file.report, Names(file.scenario, file.plan)
        for rule in sorted({f.rule for f in report.findings}):
            yield f"{rule}: {RULES.get(rule, '')}"
            yield from (f"  {f.where}: {f.what}" for f in report.findings if f.rule == rule)
        for f in report.let_go:
            yield f"{f.rule}: {RULES.get(f.rule, '')}"
            yield f"  {f.where}: {f.what}; accepted by {f.by}: {f.reason}"
        for lack in file.plan.unserved:
            lacks = ", ".join(names.component(c) for c in lack.lacks)
            yield f"{names.event(lack.event)}: {lack.portions} portions lack {lacks}"
        for missing in file.plan.missing:
            yield f"not planned: {names.batch(missing.batch)}: {missing.why}"
        but = several(len(report.let_go), "house rule that is", "house rules that are")
        yield (
            f"VALID: what is there breaks no rule{f' but {but} accepted' if report.let_go else ''}."
            if report.valid
            else (f"not VALID: {several(len(report.findings), 'finding')}.")
        )
        yield (
            "SERVED: nothing is missing."
            if report.served
            else (f"not SERVED: {sum(report.terms.served)} portions lack something.")
        )
        yield freshness(file.plan.model_copy(update={"terms": report.terms}))
        if overtime_line(names):
            yield overtime_line(names)
        for who, note in eaten_notes(names):
            yield f"Rest cut short: {names.person(who)} {note}."
        for who, note in rest_notes(file.scenario):
            yield f"Work and rest: {names.person(who)} {note}."
        unchecked = not_checked_yet(file.scenario)
        if unchecked:
            yield f"Not checked yet: {', '.join(unchecked)}."
        said = {f.rule for f in (*report.findings, *report.let_go)}
        if said & PUBLISHED or any(rest_notes(file.scenario)):
            yield DEFER

    file = read_plan(path)
    say_all(lines(file))
    if not file.report.valid:
        return Exit.BROKEN
    return Exit.FINE if file.report.served else Exit.NOT_SERVED


def schema() -> Exit:
    """The JSON schema of a written week."""
    from scheduler.domain.scenario import Scenario

    schema = Scenario.model_json_schema(by_alias=True)
    # A time may be written in short: "45 min" for {"at_least": "45 min"}.
    schema["$defs"]["Time"] = {"anyOf": [{"type": "string"}, schema["$defs"]["Time"]]}
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    say(json.dumps(schema, ensure_ascii=False, indent=1))
    return Exit.FINE


def scenarios() -> Exit:
    """The weeks that come with Backtime."""
    from scheduler.domain.finding import find_scenario, shipped
    from scheduler.domain.reading import read_scenario
    from scheduler.plan.words import several

    for name in shipped():
        folder = find_scenario(name)
        week = read_scenario(folder).week
        say(f"{name}  {week.name or week.id}, {several(len(week.events), 'event')}  ({folder})")
    return Exit.FINE
