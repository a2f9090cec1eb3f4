"""The screens can be read, by the contrast that WCAG 2.2 asks for (1.4.3 and 1.4.11)."""

from __future__ import annotations

import pytest

from ui.palette import CAPTION, DARK, LIGHT, Palette, style_sheet

BOTH = pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
BARS = ("hands", "alone", "duty", "clean", "pause")


def luminance(colour: str) -> float:
    """Relative luminance, as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """From 1 to 21, as WCAG 2.2 defines it."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_is_reckoned_as_the_standard_does() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    # The standard's own technique G18 names #767676 on white as just passing 4.5.
    assert 4.5 <= contrast("#767676", "#ffffff") < 4.6


@BOTH
def test_text_can_be_read(palette: Palette) -> None:
    for ground in (palette.paper, palette.raised, palette.night, palette.waits):
        assert contrast(palette.ink, ground) >= 4.5
    for ground in (palette.paper, palette.raised):
        assert contrast(palette.faint, ground) >= 4.5
        assert contrast(palette.accent, ground) >= 4.5
    for bar in ("hands", "alone", "duty", "clean"):
        assert contrast(palette.on_bar, getattr(palette, bar)) >= 4.5, bar


def test_what_stands_on_a_chosen_button_can_be_read() -> None:
    assert contrast("#ffffff", LIGHT.accent) >= 4.5  # Streamlit's own choice in both themes
    assert contrast(DARK.on_bar, DARK.accent) >= 4.5
    assert DARK.on_bar in style_sheet()


@BOTH
def test_bars_stand_out_from_what_is_behind_them(palette: Palette) -> None:
    for ground in (palette.paper, palette.night):
        for bar in (*BARS, "now", "line"):  # what waits is pale, and outlined with `line`
            assert contrast(getattr(palette, bar), ground) >= 3, (bar, ground)


@BOTH
def test_captions_can_be_read(palette: Palette) -> None:
    """They are ink let through in part; the style sheet says how much."""
    inks = [(palette.ink[i : i + 2], palette.paper[i : i + 2]) for i in (1, 3, 5)]
    mixed = (round(CAPTION * int(a, 16) + (1 - CAPTION) * int(b, 16)) for a, b in inks)
    assert contrast("#" + "".join(f"{part:02x}" for part in mixed), palette.paper) >= 4.5
    assert f"opacity: {CAPTION}" in style_sheet()
