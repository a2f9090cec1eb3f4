"""A job on the page of a sheet, with the forms by which it is recorded. What is put in is escaped.

Everything that a form says it says by itself, so that it can be sent from an outbox later: which
plan, which job, who has opened the page, and an id that was made when it was drawn.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from html import escape

from scheduler.domain.base import Slug
from scheduler.outputs.known import Due, can_be_ticked, figures
from scheduler.outputs.lines import Line
from scheduler.outputs.measured import DID, UNITS
from scheduler.outputs.measuring import Measure
from scheduler.outputs.saying import details, heading, told
from scheduler.plan.minding import cautions
from scheduler.plan.words import Names
from ui.forms import shown
from ui.phone.entering import DOES

LONGEST = 600
USABLE = {"whole": "all of it", "part": "in part", "none": "not at all"}
_OTHERWISE = ("skipped", "quantity", "discarded", "note", "started")


@dataclass(frozen=True)
class Page:
    """What all forms of a page have in common.

    Attributes
    ----------
    names : Names
    number : int
        The plan.
    day : date
    person : str or None
        Whose sheet it is; None: a section's.
    signed : str
        Who has signed in.
    again : mapping of str to str
        A form that was not taken, as it was filled in.
    asks : mapping of str to str
        What is asked of it, by field.
    """

    names: Names
    number: int
    day: date
    person: Slug | None
    signed: str
    again: Mapping[str, str] = field(default_factory=dict)
    asks: Mapping[str, str] = field(default_factory=dict)

    def hidden(self, does: str, **more: str) -> str:
        """The fields that nobody fills in; a form that comes back keeps its id."""
        mine = self.same(does, **more)
        id = self.again["id"] if mine else str(uuid.uuid4())
        fields = {"id": id, "number": str(self.number), "as": self.signed, "does": does, **more}
        return "".join(
            f'<input type="hidden" name="{k}" value="{escape(v)}">' for k, v in fields.items() if v
        )

    def same(self, does: str, **more: str) -> bool:
        """Is it the form that was not taken?"""
        said = self.again.get("does", "")
        asked = said == does or (not does and said in _OTHERWISE)
        return "id" in self.again and asked and all(self.again.get(k) == v for k, v in more.items())


def job(page: Page, line: Line, said: set[Slug], *, tag: str = "h2") -> str:
    """A job in full: what, how much, where, until when, what to mind, and how it is ticked."""
    names = page.names
    begins, ready = (told(names, by, page.day) for by in (line.start_by, line.ready_by))
    times = f"start {begins}" + (f", ready {ready}" if line.end > line.start else "")
    boxed = f'<p class="boxed">{shown(", ".join(line.diets))}: first and apart</p>'
    texts = "".join(
        f"<p>{shown(text, LONGEST)}</p>"
        for text in details(names, line, page.day, page.person) if text
    )  # fmt: skip
    minds = "".join(
        f'<p class="mind">{shown(text, LONGEST)}</p>' for text in cautions(line.minds, said)
    )
    forms = ticks(page, line) if can_be_ticked(line) else ""
    return (
        f"<{tag}>{shown(heading(line), LONGEST)}</{tag}>"
        f'<p class="times">{shown(times)}</p>{boxed if line.diets else ""}{texts}{minds}{forms}'
    )


def folded(page: Page, line: Line, said: set[Slug], mark: str = "") -> str:
    """A job of which only the first line is shown until somebody touches it."""
    opens = " open" if page.again.get("job") == line.mark and page.asks else ""
    begins = told(page.names, line.start_by, page.day)
    who = ", ".join(page.names.person(p) for p in line.people if p != page.person)
    short = f"{heading(line)}{f', {who}' if who else ''}"
    return (
        f'<details class="job"{opens} data-job="{escape(line.mark)}"><summary>'
        f"<b>{shown(begins)}</b> {shown(short, LONGEST)}{mark}</summary>"
        f"{job(page, line, said, tag='h3')}</details>"
    )


def ticks(page: Page, line: Line) -> str:
    """The two forms of a job: done, by one touch, and everything else there is to say."""
    mine = {"job": line.mark}
    fields = "".join(measured(page, "done", n, m, mine) for n, m in figures(page.names, line))
    again = page.again if page.same("done", **mine) else {}
    at = escape(again.get("at", ""))
    done = (
        f'<form method="post" class="tick">{page.hidden("done", **mine)}{fields}'
        '<button class="big">Done</button>'
        f'<details{" open" if at else ""}><summary>Not just now</summary><label>At what time? '
        f'<input type="time" name="at" value="{at}"></label></details></form>'
    )
    return done + otherwise(page, line)


def otherwise(page: Page, line: Line) -> str:
    """Put off, how much was made, thrown away, a word: also of what is done."""
    mine = {"job": line.mark}
    again = page.again if page.same("", **mine) else {}
    what = "".join(
        f'<option value="{k}"{" selected" if again.get("does") == k else ""}>{DOES[k]}</option>'
        for k in _OTHERWISE
    )
    usable = "".join(
        f'<option value="{k}"{" selected" if again.get("usable") == k else ""}>{v}</option>'
        for k, v in USABLE.items()
    )

    def text(name: str, label: str, more: str = "") -> str:
        value = escape(again.get(name, ""))
        return f'<label>{label}<input name="{name}" value="{value}" {more}></label>'

    return (
        f'<details{" open" if again else ""}><summary>Something else</summary>'
        f'<form method="post" class="tick">{page.hidden("", **mine)}'
        f'<label>What?<select name="does">{what}</select></label>'
        f'{text("why", "Why, or what", "maxlength=2000")}'
        f'{text("amount", "How much (9 l, 48 pieces)", "maxlength=40")}'
        f'<label>Usable<select name="usable">{usable}</select></label>'
        f'{text("good", "Where in part: how much is good", "maxlength=40")}'
        f'{text("at", "At what time, if not just now", "type=time")}'
        "<button>Enter it</button></form></details>"
    )


def due(page: Page, one: Due) -> str:
    """What is to be measured at something that runs by itself."""
    first = one.measures[0]
    mine = {"job": one.line.mark, "kind": first.kind}
    targets = "; ".join(m.said for m in one.measures)
    return (
        f'<form method="post" class="tick due" data-job="{escape(one.line.mark)}" data-stays>'
        f"<p><b>{shown(one.line.what, LONGEST)}</b>: {shown(targets, LONGEST)}</p>"
        f'{page.hidden("measured", **mine)}{measured(page, "measured", 0, first, mine, soon=True)}'
        "<button>Enter it</button></form>"
    )


def measured(
    page: Page, does: str, place: int, measure: Measure, mine: Mapping[str, str], *,
    soon: bool = False,
) -> str:  # fmt: skip
    """A field for what is measured, and one for what was done, where that is asked.

    Parameters
    ----------
    soon : bool
        It need not be there yet, so the phone does not judge it by itself.
    """
    name, again = f"m{place}", page.again if page.same(does, **mine) else {}
    asked = page.asks.get(name, "") if again else ""
    value, did = escape(again.get(name, "")), escape(again.get(f"did{place}", ""))
    label = "" if soon else shown(measure.said, LONGEST)
    if measure.kind == "look":
        options = "".join(
            f'<option value="{k}"{" selected" if again.get(name) == k else ""}>{v}</option>'
            for k, v in (("", "look, and choose"), ("yes", "as it should be"), ("no", "not so yet"))
        )
        box = f'<label>{label}<select name="{name}">{options}</select></label>'
    else:
        bounds = "" if soon else "".join(_bounds(measure))
        box = (
            f'<label>{label or "Now"}<span class="with-unit"><input name="{name}" value="{value}" '
            f'inputmode="decimal" autocomplete="off" maxlength="20"{bounds}>'
            f'<select name="u{place}" aria-label="unit">{_units(measure, again, place)}</select>'
            "</span></label>"
        )
    known = DID.get(measure.kind, DID["core"])
    ways = "".join(f'<option value="{escape(one)}">' for one in known)
    listed = f"{does}-{mine['job']}-{place}"
    hidden = "" if asked or did else " hidden"
    return (
        f"{box}<div class='asks' data-of='{name}'{hidden}>"
        f'<p class="wrong" role="alert">{shown(asked, LONGEST)}</p>'
        f'<label>What was done about it?<input name="did{place}" value="{did}" maxlength="400" '
        f'list="{escape(listed)}"></label><datalist id="{escape(listed)}">{ways}</datalist></div>'
    )


def _units(measure: Measure, again: Mapping[str, str], place: int) -> str:
    chosen = again.get(f"u{place}", "")
    return "".join(
        f'<option{" selected" if unit == chosen else ""}>{unit}</option>'
        for unit in UNITS[measure.kind]
    )


def _bounds(measure: Measure) -> Iterator[str]:
    """So that the phone can ask at once, also without a line."""
    if measure.target is not None:
        side = "least" if measure.at_least else "most"
        yield f' data-{side}="{float(measure.target):g}"'
