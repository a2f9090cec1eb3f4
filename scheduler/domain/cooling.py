"""A step in which something cools: from where to where, in what, and how long that takes.

An estimate: `scheduler.heat` has the physics, and its defaults are nobody's
measurement. The probe's record decides.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from math import ceil

from pydantic import Field, model_validator

from scheduler.domain.base import Slug, Word
from scheduler.domain.celsius import Celsius, fahrenheit_meant, write_celsius
from scheduler.domain.figures import Across, Film, Share
from scheduler.domain.problems import nearest
from scheduler.domain.quantity import Dimension, Quantity, plain
from scheduler.heat.composition import Composition
from scheduler.heat.cooling import Cooling, Never
from scheduler.heat.defaults import foods, methods, pans
from scheduler.heat.shapes import Faces, Shape
from scheduler.heat.temperatures import FREEZES, HOTTEST_FOOD

_NOISE = 1e-6
"""Minutes that a float may be off where the figure is whole."""


class MadeOf(Word):
    """What a food is made of: shares of its mass that sum to one."""

    water: Share = Field(description="Share of water, 0 to 1 or %.")
    protein: Share = Field(default=Fraction(0), description="Share of protein, 0 to 1 or %.")
    fat: Share = Field(default=Fraction(0), description="Share of fat, 0 to 1 or %.")
    carbohydrate: Share = Field(default=Fraction(0), description="Starch, sugar, 0 to 1 or %.")
    fibre: Share = Field(default=Fraction(0), description="Share of fibre, 0 to 1 or %.")
    ash: Share = Field(default=Fraction(0), description="Share of salt and minerals, 0 to 1 or %.")


class CoolDown(Word):
    """How a step cools: an estimate, never a certificate.

    How thick it is says one of `thickness` (a slab), `depth` (of what lies in
    a pan), `diameter` (a pot, a roll, a ball), or follows from what goes into
    a pan.
    """

    start: Celsius = Field(alias="from", description="How warm it is when the step begins, °C.")
    end: Celsius = Field(alias="to", description="How cold it is at the end, where it is warmest.")
    by: Slug = Field(description="walk-in, walk-in-fan, blast-chiller or ice-bath.")
    air: Celsius | None = Field(
        default=None, description="Air or water around it, °C; left out: as is usual there."
    )
    film: Film | None = Field(
        default=None,
        description="Film coefficient as measured here, W/m²K; left out: a default nobody "
        "has measured.",
    )
    shape: Shape = Field(default="slab", description="slab (a pan, a tray), cylinder or sphere.")
    stirred: bool = Field(default=False, description="A liquid that is stirred all the time.")
    thickness: Across | None = Field(default=None, description="Of a slab, mm.")
    depth: Across | None = Field(default=None, description="Or how deep it lies in a pan, mm.")
    diameter: Across | None = Field(default=None, description="Or of a cylinder or sphere, mm.")
    pan: Slug | None = Field(default=None, description="Or the pan it lies in: gn-1-1, gn-1-2 …")
    each: Quantity | None = Field(default=None, description="With so much in each pan, by volume.")
    mm_holds: Quantity | None = Field(
        default=None,
        description="What a millimetre of the pan's depth holds; left out: one maker's (volume "
        "varies by maker).",
    )
    faces: Faces = Field(
        default="both", description="both, or one where it stands on something that does not cool."
    )
    food: Slug | None = Field(default=None, description="What it is: stock, soup, lean-meat …")
    made_of: MadeOf | None = Field(default=None, description="Or what it is made of.")
    sets_time: bool = Field(
        default=False, description="The estimate is how long the step takes; `time` is left out."
    )

    @model_validator(mode="after")
    def _adds_up(self) -> CoolDown:
        wrong = [*self._unknown(), *self._unclear()] or self._too_deep()
        if not wrong:
            try:
                never = physics(self).time_to()
            except ValueError as error:
                wrong = [*str(error).splitlines(), *self._also_fahrenheit()]
            else:
                if self.sets_time and isinstance(never, Never):
                    wrong = [f"it {never}, so there is no time to set"]
        if wrong:
            raise ValueError("; ".join(wrong))
        return self

    def _unknown(self) -> list[str]:
        said: list[str] = []
        for field, word, there in (
            ("by", self.by, methods()), ("food", self.food, foods()), ("pan", self.pan, pans()),
        ):  # fmt: skip
            if word is not None and word not in there:
                near = nearest(word, tuple(there))
                known = f"maybe '{near}'" if near else f"there are: {', '.join(there)}"
                said.append(f"`{field}`: unknown '{word}', {known}")
        return said

    def _unclear(self) -> list[str]:
        said: list[str] = []
        given = [
            name for name in ("thickness", "depth", "diameter", "pan") if getattr(self, name)
        ]
        if len(given) != 1:
            how = f"both {' and '.join(given)}" if given else "nothing"
            said.append(f"{how} says how thick it is: one of thickness, depth, diameter, pan")
        elif (self.diameter is not None) == (self.shape == "slab"):
            right = "thickness, depth or pan" if self.shape == "slab" else "diameter"
            said.append(f"a {self.shape} has no {given[0]}: {right} was expected")
        if (self.pan is None) != (self.each is None) or (self.mm_holds and not self.pan):
            said.append("`pan` and `each` go together: pan: gn-1-1, each: 5 l")
        for name in ("each", "mm_holds"):
            amount: Quantity | None = getattr(self, name)
            if amount is None:
                continue
            if amount.dimension is not Dimension.VOLUME:
                said.append(f"`{name}`: '{amount}' is no volume: a pan is filled by the litre")
            elif amount.base <= 0:
                said.append(f"`{name}`: '{amount}' must be more than nothing")
        if (self.food is None) == (self.made_of is None):
            said.append("either `food` or `made_of` says what it is")
        return said

    def _too_deep(self) -> list[str]:
        """More than the deepest pan takes, or pans of another size than there are."""
        if self.pan is None or self.each is None:
            return []
        pan = pans()[self.pan]
        if self.mm_holds and not Fraction(1, 5) <= self.mm_holds.base / pan.mm_holds <= 5:
            about = f"a millimetre of a {pan.name} holds about {plain(pan.mm_holds, 0)} ml"
            return [f"`mm_holds`: '{self.mm_holds}', and {about}"]
        if self.across <= pan.deepest:
            return []
        most = pan.deepest * (self.mm_holds.base if self.mm_holds else pan.mm_holds) / 1000
        said = (
            f"`each`: '{self.each}' would lie {plain(self.across)} mm deep, and the deepest "
            f"{pan.name} has {pan.deepest} mm, about {plain(most, 0)} l"
        )
        if self.each.base >= 10_000 * most:
            said += f"; maybe '{plain(self.each.base / 1000)} ml' was meant"
        return [said]

    def _also_fahrenheit(self) -> list[str]:
        """Where the start must be °F, the end probably is."""
        if fahrenheit_meant(self.start, 20, 110) is None or self.start <= HOTTEST_FOOD:
            return []
        meant = fahrenheit_meant(self.end, 0, 60)
        return [] if meant is None else [f"and {write_celsius(self.end)} then is "
                                         f"{write_celsius(meant)}"]  # fmt: skip

    @property
    def across(self) -> Fraction:
        """Thickness, depth or diameter, mm; in a pan up to the next whole one."""
        written = self.thickness or self.depth or self.diameter
        if written is not None or self.each is None:
            return written or Fraction(0)
        holds = self.mm_holds.base if self.mm_holds else pans()[self.pan or ""].mm_holds
        return Fraction(ceil(self.each.base / holds))

    @property
    def how_thick(self) -> str:
        """ "38 mm deep" """
        word = "thick" if self.thickness else "across" if self.diameter else "deep"
        return f"{plain(self.across, 1)} mm {word}"

    @property
    def place(self) -> str:
        """Where it cools, in words."""
        return methods()[self.by].name


@lru_cache(maxsize=2000)
def physics(cool: CoolDown) -> Cooling:
    """What `heat` reckons with.

    Raises
    ------
    ValueError
        Everything that makes no sense, a sentence a line.
    """
    if cool.made_of is not None:
        shares = {name: float(share) for name, share in cool.made_of}
        food = Composition(**shares)
    else:
        food = foods()[cool.food or ""].composition
    usual = methods()[cool.by]
    return Cooling(
        food=food,
        shape=cool.shape,
        across=float(cool.across),
        start=float(cool.start),
        target=float(cool.end),
        air=usual.air if cool.air is None else float(cool.air),
        film=usual.film if cool.film is None else float(cool.film),
        faces=cool.faces,
        stirred=cool.stirred,
    )


@lru_cache(maxsize=5000)
def between(
    cool: CoolDown, warm: Fraction, cold: Fraction, *, no_ice: bool = False
) -> float | Never:
    """Minutes from `warm` to `cold` °C within the step, as estimated, not rounded.

    What lies outside of the step's own temperatures is left out. Ice is not
    reckoned: where the outside freezes it takes longer, at most as long as
    with `no_ice`, in air that is not below 0 °C.
    """
    warm, cold = min(warm, cool.start), max(cold, cool.end)
    if warm <= cold:
        return 0.0
    here = physics(cool)
    if no_ice and here.air < FREEZES:
        here = replace(here, air=FREEZES)
    return here.time_between(float(warm), float(cold))


def estimate(cool: CoolDown) -> int | Never:
    """How long the step takes as estimated, up to whole minutes."""
    taken = between(cool, cool.start, cool.end)
    return taken if isinstance(taken, Never) else whole(taken)


def whole(minutes: float) -> int:
    """Up to whole minutes."""
    return ceil(minutes - _NOISE)
