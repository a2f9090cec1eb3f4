"""What lies between the warmest place of a thing and the cold: one length for each shape."""

from __future__ import annotations

from typing import Literal

Shape = Literal["slab", "cylinder", "sphere"]
Faces = Literal["one", "both"]

DIMENSIONS: dict[Shape, int] = {"slab": 1, "cylinder": 2, "sphere": 3}


def depth(shape: Shape, across: float, faces: Faces = "both") -> float:
    """From the place that stays warm longest to the cooled face, in the unit of `across`.

    Half the thickness of a slab cooled from both faces, all of it where only
    one is cooled (its back is then the middle of a slab of twice the
    thickness), the radius of a cylinder or a sphere.

    Parameters
    ----------
    across : float
        Thickness of a slab, diameter of a cylinder or a sphere.
    """
    return across if shape == "slab" and faces == "one" else across / 2


def volume_to_area(shape: Shape, reach: float) -> float:
    """Volume over cooled area: L for a slab, r/2 for a long cylinder, r/3 for a sphere."""
    return reach / DIMENSIONS[shape]
