"""The colours of the screens: made for this project, in a light and a dark set.

Colour is never the only sign: every kind of bar has its own pattern or text as well. Text has a
contrast of at least 4.5 against what it stands on, bars 3; `tests/ui/test_palette.py` reckons it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Palette:
    """One set of colours, as `#rrggbb`.

    Attributes
    ----------
    paper, raised : str
        What everything stands on, and what is lifted off it.
    ink, faint : str
        Text, and text of less weight.
    line : str
        Rules and outlines.
    accent : str
        Buttons, links, what is chosen.
    hands, alone, waits, duty, clean, pause : str
        Bars: work of hands, what runs by itself, what waits, standing duties, clean-downs, breaks.
    night, now : str
        Hours of darkness behind the bars; the present moment.
    on_bar : str
        Text on the dark kinds of bar.
    """

    paper: str
    raised: str
    ink: str
    faint: str
    line: str
    accent: str
    hands: str
    alone: str
    waits: str
    duty: str
    clean: str
    pause: str
    night: str
    now: str
    on_bar: str


LIGHT = Palette(
    paper="#fcfaf5",
    raised="#f1ece1",
    ink="#24211f",
    faint="#5f5850",
    line="#8b8378",
    accent="#6a2c4f",
    hands="#4b3a63",
    alone="#8a5a2b",
    waits="#e6dccb",
    duty="#5d6b73",
    clean="#1f6a70",
    pause="#7c7468",
    night="#efe9f2",
    now="#a3195b",
    on_bar="#ffffff",
)
DARK = Palette(
    paper="#1b1a1e",
    raised="#27252b",
    ink="#f2eee6",
    faint="#b9b1a6",
    line="#8f877c",
    accent="#e2a6c6",
    hands="#b7a3da",
    alone="#d8a673",
    waits="#3a3540",
    duty="#9fb0b9",
    clean="#7cc4c9",
    pause="#a79f92",
    night="#131217",
    now="#ff8fc2",
    on_bar="#17151a",
)


CAPTION = 0.82
"""How much of the ink a caption has; Streamlit's own 0.6 falls short of a contrast of 4.5."""


def style_sheet() -> str:
    """What Streamlit's own style lacks.

    It writes in white on chosen buttons, which the dark accent is too light for (which set is
    shown follows the system, as there), its captions are too pale, and it leaves a sixth of a
    phone's screen empty above the page.
    """
    return (
        "<style>@media (prefers-color-scheme: dark) "
        '{ [data-testid^="stBase"][data-testid*="Button-primary"] '
        f"{{ color: {DARK.on_bar}; }} }} "
        f'[data-testid="stCaptionContainer"] {{ opacity: {CAPTION}; }} '
        '[data-testid="stMainBlockContainer"] { padding-top: 4.25rem; padding-bottom: 3rem; } '
        "@media (max-width: 640px) "
        '{ [data-testid="stMainBlockContainer"] { padding-top: 3.75rem; } }</style>'
    )
