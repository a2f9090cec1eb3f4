"""Planning from the screens: one job at a time for a week, in a process of its own.

The server follows each job and keeps its first and its best plan in the book, so a reload, a
second tab or a closed laptop lose nothing; whoever looks asks here how far it is.
"""

from __future__ import annotations

import threading
import time
import uuid
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from scheduler.book import documents, plans
from scheduler.book.errors import BookError
from scheduler.book.jobs import Outcome as Ended
from scheduler.book.jobs import job_began, job_ended
from scheduler.book.kept import kept
from scheduler.book.opening import Book
from scheduler.book.record import task_states
from scheduler.book.roles import Who
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.staying import How, Staying
from scheduler.plan.file import plan_of
from scheduler.reshuffle.asking import Asked, asked
from scheduler.reshuffle.recorded import ends_recorded
from scheduler.reshuffle.setback import Ends, NotBegun, NotThere, Setback
from scheduler.reshuffle.standing import Standing
from scheduler.safety.gate import gate
from scheduler.solve.request import Request
from scheduler.solve.running import Job, Outcome, follow


@dataclass(frozen=True, slots=True)
class Room:
    """What is to be made room for.

    Attributes
    ----------
    number : int
        In which plan.
    task : str
    how : dict
        What of the task is to stay (`How`).
    """

    number: int
    task: str
    how: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Broken:
    """What has broken a plan.

    Attributes
    ----------
    number : int
        Which plan.
    setbacks : tuple of Setback
        Everything that has happened and is not dealt with yet.
    now : datetime
        By the kitchen's wall clock.
    room : Room or None
        What is to be made room for besides.
    """

    number: int
    setbacks: tuple[Setback, ...]
    now: datetime
    room: Room | None = None


@dataclass
class Run:
    """A week being planned, or one that has been.

    Attributes
    ----------
    id : str
        As the book knows the job.
    who : Who
        Whoever asked for it.
    week : str
    seconds : float
        Time it may search.
    began : float
        On `time.monotonic`.
    first : int or None
        The plan of the book that it came to first.
    number : int or None
        The best one; while it runs, the first.
    said : dict
        What the job said last of its best plan.
    wrong : list of Problem
        What was wrong with the input.
    word : str
        Why it ended, where that is worth a word.
    over : bool
    older : int or None
        The plan it started from, to make room in it or because it broke; None: planned from
        nothing.
    """

    id: str
    who: Who
    week: str
    seconds: float
    began: float
    older: int | None = None
    first: int | None = None
    number: int | None = None
    said: dict[str, Any] = field(default_factory=dict)
    wrong: list[Problem] = field(default_factory=list)
    word: str = ""
    over: bool = False
    stopped: bool = False
    job: Job | None = None

    @property
    def took(self) -> float:
        """Seconds since it was asked for."""
        return time.monotonic() - self.began

    def stop(self) -> None:
        """Ask it to end with the best it has; within a second."""
        self.stopped = True
        if self.job is not None:
            self.job.stop()


class Runs:
    """Every run of this server, the newest of each week."""

    def __init__(self) -> None:
        self._of: dict[tuple[str, str, str], Run] = {}
        self._one = threading.Lock()

    def of(self, book: Book, kitchen: str, week: str) -> Run | None:
        """The newest run of a week."""
        return self._of.get((book.where, kitchen, week))

    def begin(
        self, book: Book, who: Who, week: str, seconds: float, older: Room | Broken | None = None
    ) -> Run:
        """Begin to plan a week, unless it is being planned; what is kept in the book stays.

        Parameters
        ----------
        older : Room or Broken, optional
            Start from a plan and change only what a task needs, or what has happened.

        Raises
        ------
        BadInput
            Something is wrong whatever the times.
        BookError
        """
        with self._one:
            there = self.of(book, who.kitchen, week)
            if there is not None and not there.over:
                if older is not None:
                    raise BookError("This week is just being planned; stop that first.")
                return there
            run = Run(uuid.uuid4().hex, who, week, seconds, time.monotonic())
            run.job = _started()  # it imports what it needs while the week is read
            try:
                request = (
                    _asked_anew(book, run, older)
                    if isinstance(older, Broken)
                    else _asked(book, run, older)
                )
                where, process = str(run.job.folder), run.job.process.pid
                job_began(book, who, run.id, week, where, process)
            except BaseException:
                run.job.__exit__()
                raise
            self._of[book.where, who.kitchen, week] = run
        threading.Thread(target=_follow, args=(book, run, request), daemon=True).start()
        return run


def _started() -> Job:
    """A process to plan in.

    Raises
    ------
    BookError
        There is none to be had: a full disk most often.
    """
    try:
        return Job.start(gently=True)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise BookError(
            f"Planning cannot begin: {why}, in the folder for temporary files. Nothing is lost; "
            "make room and try again."
        ) from None


def _asked(book: Book, run: Run, room: Room | None) -> Request:
    """What the job is asked: the week as it is in the book, and what is to stay.

    In a plan that was made in the middle of its week, room is made for what had not begun by then.
    """
    stay = _staying(book, run.who, run.week, room)
    older = None
    if room is not None:
        run.older = room.number
        older = plans.text_of(book, run.who, room.number)
        file = plan_of(older)
        if file.plan.past is not None:
            then = file.scenario.clock.local(file.plan.past.now).replace(tzinfo=None)
            name = f"plan {room.number}"
            return _with_room(asked(older, (), then, stay, name=name), room).request(run.seconds)
    scenario = documents.scenario(book, run.who, run.week)
    gate(scenario)
    said = [one.model_dump(mode="json", exclude_defaults=True) for one in stay]
    return Request(scenario.document(), run.seconds, kept=said, plan=older)


def _staying(book: Book, who: Who, week: str, room: Room | None) -> list[Staying]:
    """What stays whatever is planned, and what room is made for."""
    stay = {one.task: one.how for one in kept(book, who, week)}
    if room is not None:
        stay[room.task] = How.model_validate(room.how)
    return [
        Staying(task=task, **how.model_dump(exclude_defaults=True)) for task, how in stay.items()
    ]


def _asked_anew(book: Book, run: Run, broken: Broken) -> Request:
    """What the job is asked where a plan has broken: what had begun stays, the rest may move."""
    run.older = broken.number
    return anew(book, run.who, run.week, broken).request(run.seconds)


def anew(book: Book, who: Who, week: str, broken: Broken) -> Asked:
    """What follows for a plan from what has happened to it; nothing is changed.

    Raises
    ------
    BadInput
        Something that is said to have happened makes no sense.
    BookError
    """
    text = plans.text_of(book, who, broken.number)
    stay = _staying(book, who, week, broken.room)
    standing = Standing(plan_of(text), broken.now)
    zone = standing.clock.zone
    done = {
        task: state.ended.when.astimezone(zone).replace(tzinfo=None)
        for task, state in task_states(book, who, week).items()
        if state.state == "done" and state.ended is not None
    }
    said = {one.task for one in broken.setbacks if isinstance(one, Ends | NotThere | NotBegun)}
    recorded = (one for one in ends_recorded(standing, done) if one.task not in said)
    told = [*broken.setbacks, *recorded]
    found = asked(text, told, broken.now, keep=stay, name=f"plan {broken.number}")
    return found if broken.room is None else _with_room(found, broken.room)


def _with_room(found: Asked, room: Room) -> Asked:
    """The same; what has begun cannot be made room for."""
    if any(task.id == room.task for task in found.past.tasks):
        raise BookError("It has begun by now, so it stays as it is. Nothing was changed.")
    return found


def _follow(book: Book, run: Run, request: Request) -> None:
    """Follow a run to its end, and keep what it comes to."""
    assert run.job is not None
    ended: Ended = "failed"
    try:
        with run.job as job:
            job.ask(request)

            def hear(event: dict[str, Any]) -> None:
                if "terms" in event:
                    run.said = event
                if run.first is None and "terms" in event:
                    run.first = run.number = _kept(book, run, job.plan)

            outcome = follow(job, hear)
            run.number = _kept(book, run, job.plan) or run.number
            run.wrong = [Problem(**fields) for fields in outcome.problems]
            run.word = _word(outcome)
            broke = run.word or run.wrong
            ended = "failed" if broke else "stopped" if run.stopped else "done"
    except (BookError, BadInput) as error:
        run.word = str(error)
    except OSError as error:
        run.word = f"The plan could not be kept: {error.strerror or error}."
    except Exception as error:
        run.word = f"A fault of ours ended the planning ({type(error).__name__})."
        raise
    finally:
        run.over = True
        try:
            word = run.word or "; ".join(map(str, run.wrong[:3]))
            job_ended(book, run.who, run.id, ended, word or None, run.number)
        except BookError as error:
            run.word = run.word or str(error)


def _kept(book: Book, run: Run, file: Path | None) -> int | None:
    """Keep a plan of the job in the book; its number, or none where there is no plan yet."""
    if file is None:
        return None
    text = file.read_text(encoding="utf-8")
    return plans.keep(book, run.who, text, run.first or run.older).number


def _word(outcome: Outcome) -> str:
    """Why a job broke off; empty where it did not."""
    if outcome.broken:
        return f"Planning broke off: {outcome.broken}. The last plan it had is kept."
    if outcome.failed:
        return "A fault of ours ended the planning. The last plan it had is kept."
    return ""
