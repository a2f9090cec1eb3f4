"""Limits of cooling as three codes write them, and pans with a time constant of one's choosing."""

from __future__ import annotations

from scheduler.heat.composition import Properties
from scheduler.heat.cooling import Cooling, Window

# FDA Food Code 3-501.14(A): 57 to 21 °C within 2 h, and 57 to 5 °C within a total of 6 h.
FDA = (Window(57, 21, 120), Window(57, 5, 360))
# FSANZ Standard 3.2.2 clause 7(3): 60 to 21 °C within 2 h, 21 to 5 °C within a further 4 h.
FSANZ = (Window(60, 21, 120), Window(21, 5, 240))
# FSIS-GD-2021-13, Stabilization Guideline (Revised Appendix B), option 1:
# 130 to 80 °F within 1.5 h, 80 to 40 °F within 5 h.
FSIS = (Window(54.4, 26.7, 90), Window(26.7, 4.4, 300))

# What the sanity cases are reckoned with: k 0.55 W/mK, diffusivity 1.4e-7 m²/s.
PLAIN = Properties(density=1000, specific_heat=0.55 / 1.4e-7 / 1000, conductivity=0.55)
WATERY = Properties(density=1000, specific_heat=4000, conductivity=0.6)


def stirred(tau_hours: float, *, air: float, start: float = 90, target: float = 4) -> Cooling:
    """A stirred pan, 50 mm deep, with the film that gives it this time constant."""
    film = 1000 * 4000 * 0.025 / (3600 * tau_hours)
    return Cooling(WATERY, "slab", 50, start, target, air, film, stirred=True)


def layer(across: float, film: float, *, air: float = 3, start: float = 57) -> Cooling:
    """A solid layer cooled from both faces."""
    return Cooling(PLAIN, "slab", across, start, 5, air, film)
