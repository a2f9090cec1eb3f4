"""How long something takes to cool, in the kitchen's units, and what would meet a limit.

An estimate and no proof: the film coefficient is guessed, food is neither
even nor a perfect slab, and doors open. What is served is measured with a
probe, and local codes and licensed practice decide which limits hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import isfinite

from scheduler.heat import conduction, lumped
from scheduler.heat.composition import Composition, Properties
from scheduler.heat.shapes import Faces, Shape, depth, volume_to_area
from scheduler.heat.temperatures import (
    FREEZES,
    WARMER_THAN_A_ROOM,
    air_complaint,
    food_complaint,
    from_fahrenheit,
)

MOST_ACROSS = 1000  # mm
CAUTION = "an estimate: measure with a probe; your local code decides"


@dataclass(frozen=True, slots=True)
class Never:
    """It never gets so cold: the air is as warm as the target, or warmer (both °C)."""

    target: float
    air: float

    def __str__(self) -> str:
        said = f"never gets to {self.target:g} °C in air at {self.air:g} °C"
        meant = from_fahrenheit(self.air)
        mixed_up = self.air >= WARMER_THAN_A_ROOM and meant < self.target
        hint = f" (maybe {self.air:g} °F was meant: {meant:.0f} °C)" if mixed_up else ""
        return f"{said}: the air must be colder than the target{hint}"


@dataclass(frozen=True, slots=True)
class Window:
    """A limit: from `warm` to `cold` (°C) within so many minutes.

    Raises
    ------
    ValueError
        Temperatures that no food cools between, or no minutes.
    """

    warm: float
    cold: float
    minutes: float

    def __post_init__(self) -> None:
        wrong = [food_complaint("a limit from", self.warm), food_complaint("to", self.cold)]
        if self.warm <= self.cold:
            wrong.append(f"a limit from {self.warm:g} to {self.cold:g} °C: the first is warmer")
        if not self.minutes > 0:
            wrong.append(f"a limit of {self.minutes:g} min: more than none was expected")
        _raise(wrong)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a limit asks and what it takes: minutes on the limit's clock, or Never."""

    window: Window
    minutes: float | Never
    met: bool


@dataclass(frozen=True, slots=True)
class Cooling:
    """What cools, and in what.

    Solid, it cools by conduction, and all times are those of the place that
    stays warm longest: the middle, or the bottom where one face is cooled.
    The ends of a cylinder and the rim of a slab are left out, so it is ready
    a little sooner than said. Stirred, it is warm alike all through.
    Properties are those of the food halfway between `start` and `target`.

    Attributes
    ----------
    food : Composition or Properties
        What it is made of, or its properties where they are known.
    shape : str
        slab (a tray or a pan), cylinder (a pot, a roll) or sphere.
    across : float
        Thickness or diameter, mm; up to 1000.
    start, target : float
        °C.
    air : float
        Air or water around it, °C.
    film : float
        Film coefficient, W/m²K; for a stirred liquid all the way from it to the water outside.
    faces : str
        Cooled from both faces or one (a slab on something that does not cool).
    stirred : bool
        A liquid that is stirred all the time.

    Raises
    ------
    ValueError
        Everything that is wrong, a sentence a line. Air too warm is no error:
        the times are Never.
    """

    food: Composition | Properties
    shape: Shape
    across: float
    start: float
    target: float
    air: float
    film: float
    faces: Faces = "both"
    stirred: bool = False

    def __post_init__(self) -> None:
        name = "thickness" if self.shape == "slab" else "diameter"
        wrong = [
            food_complaint("start", self.start),
            food_complaint("target", self.target),
            air_complaint(self.air),
        ]
        if self.start <= self.target:
            wrong.append(
                f"from {self.start:g} °C to {self.target:g} °C: nothing to cool; "
                "maybe it is the other way round"
            )
        if not self.across > 0:
            wrong.append(f"{name} {self.across:g} mm: more than nothing was expected")
        elif self.across > MOST_ACROSS:
            wrong.append(f"{name} {self.across:g} mm: more than a metre; millimetres were expected")
        if not (isfinite(self.film) and self.film > 0):
            wrong.append(
                f"film coefficient {self.film:g} W/m²K: above 0 was expected "
                "(still air about 8, a fan 20, a blast 60)"
            )
        if self.faces == "one" and self.shape != "slab":
            wrong.append(f"one face of a {self.shape}: only a slab has two")
        _raise(wrong)

    @property
    def properties(self) -> Properties:
        """Those it is reckoned with, halfway between start and target."""
        if isinstance(self.food, Properties):
            return self.food
        return self.food.properties((self.start + self.target) / 2)

    @property
    def reach(self) -> float:
        """From the place that stays warm longest to the cooled face, m."""
        return depth(self.shape, self.across, self.faces) / 1000

    @property
    def biot(self) -> float:
        """How much the food itself resists beside its film; 0 for what is stirred."""
        if self.stirred:
            return 0.0
        return conduction.biot(self.film, self.reach, self.properties.conductivity)

    def time_to(self, target: float | None = None) -> float | Never:
        """Minutes from the start until it is at `target` °C (its own if not given), not rounded.

        Raises
        ------
        ValueError
            No food is so hot, or it freezes before it is so cold.
        """
        goal = self.target if target is None else target
        _raise([food_complaint("target", goal)])
        if goal >= self.start:
            return 0.0
        if self.air >= goal:
            return Never(goal, self.air)
        if self.stirred:
            return lumped.time_to(self._tau, start=self.start, target=goal, air=self.air) / 60
        return conduction.seconds_to(
            self.shape, self.reach, self.film, self.properties,
            start=self.start, target=goal, air=self.air,
        ) / 60  # fmt: skip

    def time_between(self, warm: float, cold: float) -> float | Never:
        """Minutes from `warm` to `cold` °C; what starts colder than `warm` counts from its start.

        Raises
        ------
        ValueError
            `warm` is colder than `cold`.
        """
        if warm < cold:
            raise ValueError(f"from {warm:g} to {cold:g} °C: the first is the warmer one")
        before, after = self.time_to(warm), self.time_to(cold)
        if isinstance(after, Never):
            return after
        return after - (0.0 if isinstance(before, Never) else before)

    def curve(self, minutes: Iterable[float]) -> tuple[float, ...]:
        """°C at the place that stays warm longest, so many minutes after the start."""
        return tuple(self._at(60 * one) for one in minutes)

    def cautions(self) -> tuple[str, ...]:
        """What to know before relying on it."""
        said = [CAUTION]
        time = self.time_to()
        if not self.stirred and not isinstance(time, Never):
            outside = conduction.temperature(
                self.shape, self.reach, self.film, self.properties,
                start=self.start, seconds=60 * time, air=self.air, place="face",
            )  # fmt: skip
            if outside < FREEZES:
                # In air at 0 °C nothing freezes, and all of it stays warmer than it does here.
                most = replace(self, air=FREEZES).time_to()
                upto = "longer" if isinstance(most, Never) else f"up to {most:.0f} min"
                said.append(f"the outside freezes before the middle is cold: it may take {upto}")
        return tuple(said)

    def _at(self, seconds: float) -> float:
        if self.stirred:
            return lumped.temperature(self._tau, start=self.start, after=seconds, air=self.air)
        return conduction.temperature(
            self.shape, self.reach, self.film, self.properties,
            start=self.start, seconds=seconds, air=self.air,
        )  # fmt: skip

    @property
    def _tau(self) -> float:
        ratio = volume_to_area(self.shape, self.reach)
        return lumped.time_constant(self.properties, ratio, self.film)


def verdicts(
    cooling: Cooling, windows: Sequence[Window], *, one_clock: bool = False
) -> tuple[Verdict, ...]:
    """Which limits are met.

    Apart, each limit's minutes run from its own `warm`. On one clock all of
    them run from the warmest `warm`, so that 57 to 21 °C in 2 h and 21 to
    5 °C in 6 h are 2 h and 6 h from 57 °C.
    """
    warmest = max((window.warm for window in windows), default=0.0)
    found = []
    for window in windows:
        taken = cooling.time_between(warmest if one_clock else window.warm, window.cold)
        met = not isinstance(taken, Never) and taken <= window.minutes
        found.append(Verdict(window, taken, met))
    return tuple(found)


def thickest(cooling: Cooling, windows: Sequence[Window], *, one_clock: bool = False) -> int | None:
    """The largest thickness or diameter in whole mm that meets every limit, up to 1000.

    None where not even 1 mm does. Whatever is thicker takes longer, so
    halving finds it.
    """

    def meets(across: int) -> bool:
        thick = replace(cooling, across=across)
        return all(verdict.met for verdict in verdicts(thick, windows, one_clock=one_clock))

    if not meets(1):
        return None
    good, bad = 1, MOST_ACROSS + 1
    while bad - good > 1:
        middle = (good + bad) // 2
        if meets(middle):
            good = middle
        else:
            bad = middle
    return good


def _raise(wrong: Iterable[str | None]) -> None:
    said = [one for one in wrong if one]
    if said:
        raise ValueError("\n".join(said))
