"""A step in which something cools: from where to where, in what, and how long that takes.

An estimate: `scheduler.heat` has the physics, and its defaults are nobody's
measurement. The probe's record decides.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from math import ceil
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema, model_validator

from scheduler.domain.base import Slug, Word
from scheduler.domain.celsius import Celsius
from scheduler.domain.limits import Number
from scheduler.domain.problems import nearest
from scheduler.domain.quantity import Dimension, Quantity, plain, read_number
from scheduler.heat.composition import Composition
from scheduler.heat.cooling import MOST_ACROSS, Cooling, Never
from scheduler.heat.defaults import foods, methods, pans
from scheduler.heat.shapes import Faces, Shape
from scheduler.heat.temperatures import FREEZES

_MM = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(127, 5)}
_LIKE = "Write it like '50 mm', '5 cm' or '2 in'"
NOISE = 1e-6
"""Minutes that a float may be off where the figure is whole: all that anybody is forgiven."""


def read_across(value: Any) -> Fraction:
    """Read "50 mm", "5 cm" or "2 in" as millimetres, exactly."""
    if isinstance(value, Fraction):
        return value
    if isinstance(value, (bool, dict, list, tuple)):
        raise ValueError(f"a length is a number and a unit. {_LIKE}")
    text = " ".join(str(value).split()).replace("\N{MINUS SIGN}", "-")
    match = re.fullmatch(r"([+-]?[0-9.,]+) ?([A-Za-z]*)", text)
    if match is None:
        raise ValueError(f"'{text[:40]}' is not a length. {_LIKE}")
    number, unit = read_number(match[1]), match[2]
    if not unit:
        raise ValueError(f"'{text}' has no unit. Maybe '{text} mm' or '{text} cm'")
    if unit == "m":
        raise ValueError(f"'{text}' is in metres. Maybe '{plain(number * 1000, 6)} mm'")
    if unit not in _MM:
        raise ValueError(f"'{text}' is no length. {_LIKE}")
    if number <= 0:
        raise ValueError(f"'{text}' must be more than nothing")
    if number * _MM[unit] > MOST_ACROSS:
        hint = "" if unit == "mm" else f". Maybe '{match[1]} mm'"
        raise ValueError(f"'{text}' is more than a metre{hint}")
    return number * _MM[unit]


Across = Annotated[
    Fraction,
    BeforeValidator(read_across),
    PlainSerializer(lambda mm: f"{plain(mm, 12)} mm", return_type=str),
    WithJsonSchema({"type": "string", "examples": ["50 mm", "5 cm", "2 in"]}),
]


class MadeOf(Word):
    """What a food is made of: shares of its mass that sum to one."""

    water: Number = Field(description="Share of water, 0 to 1.")
    protein: Number = Field(default=Fraction(0), description="Share of protein, 0 to 1.")
    fat: Number = Field(default=Fraction(0), description="Share of fat, 0 to 1.")
    carbohydrate: Number = Field(default=Fraction(0), description="Of starch and sugar, 0 to 1.")
    fibre: Number = Field(default=Fraction(0), description="Share of fibre, 0 to 1.")
    ash: Number = Field(default=Fraction(0), description="Share of salt and minerals, 0 to 1.")


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
    film: Number | None = Field(
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
        wrong = [*self._unknown(), *self._unclear()]
        if not wrong:
            try:
                never = physics(self).time_to()
            except ValueError as error:
                wrong = str(error).splitlines()
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
            if amount.dimension is not Dimension.VOLUME or amount.base <= 0:
                said.append(f"`{name}`: '{amount}' is no volume: a pan is filled by the litre")
        if (self.food is None) == (self.made_of is None):
            said.append("either `food` or `made_of` says what it is")
        return said

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
    return ceil(minutes - NOISE)
