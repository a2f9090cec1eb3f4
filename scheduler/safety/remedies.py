"""What would meet a limit on cooling: shallower, or somewhere colder."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.domain.cooling import estimate, physics
from scheduler.heat.cooling import Cooling, Never, Window, thickest, verdicts
from scheduler.heat.defaults import methods
from scheduler.heat.temperatures import FREEZES

if TYPE_CHECKING:
    from scheduler.domain.cooling import CoolDown
    from scheduler.domain.limits import Fall

STIRRED_ONLY = ("ice-bath",)
"""Ways to cool that are for what is stirred."""


def remedies(
    cools: Sequence[CoolDown], falls: Sequence[Fall], time: Callable[[Fall], float | Never]
) -> str:
    """A sentence that says what would do.

    Thinner as it is cooled now, and other ways to cool it, each as thick as it
    is or as thick as it may be there: in air below 0 °C as if it were 0 °C,
    which is slower than it can be, ice or no ice. Where several steps cool it, only the
    slowest of them is looked at, within what the others leave of each limit.
    """
    slow = max(cools, key=_long)
    now = _without_ice(physics(slow))
    windows = [w for fall in falls if (w := _left(slow, fall, time)) is not None]
    word = slow.how_thick.rpartition(" ")[2]
    ways: list[str] = []
    most = thickest(now, windows)
    if most is not None and most < now.across:
        ways.append(f"at most {most} mm {word}")
    for key, method in methods().items():
        if key in STIRRED_ONLY and not slow.stirred:
            continue
        there = _without_ice(replace(now, air=method.air, film=method.film))
        if there.air > now.air or (there.air == now.air and there.film <= now.film):
            continue
        if all(v.met for v in verdicts(there, windows)):
            ways.append(f"{method.name} as it is")
        elif (most := thickest(there, windows)) is not None:
            ways.append(f"{method.name} and at most {most} mm {word}")
    if not ways:
        return "Nothing that is known here would do: smaller pieces, or ice in it"
    return f"This would do: {'; or '.join(ways)}"


def _without_ice(cooling: Cooling) -> Cooling:
    return replace(cooling, air=max(cooling.air, FREEZES))


def _long(cool: CoolDown) -> float:
    taken = estimate(cool)
    return float("inf") if isinstance(taken, Never) else taken


def _left(
    slow: CoolDown, fall: Fall, time: Callable[[Fall], float | Never]
) -> Window | None:
    """A window as far as the slow step goes through it, with the time the others leave."""
    now = _without_ice(physics(slow))
    warm, cold = min(fall.start, slow.start), max(fall.end, slow.end)
    if warm <= cold:
        return None
    own, all_of_it = now.time_between(float(warm), float(cold)), time(fall)
    others = 0.0
    if not isinstance(own, Never) and not isinstance(all_of_it, Never):
        others = max(0.0, all_of_it - own)
    # Nothing at all cools in no time, so where nothing is left nothing would do.
    return Window(float(warm), float(cold), max(fall.within - others, 1e-9))
