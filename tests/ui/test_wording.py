"""What people type stands on a screen as they typed it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ui.wording import plain, short, untagged


def test_a_dish_named_like_markup_is_shown_as_it_is_named() -> None:
    assert plain("[x](y) :material/x: $5") == "\\[x\\]\\(y\\) \\:\u2060material/x\\: \\$5"
    assert untagged("<b>Soup</b> & co") == "&lt;b&gt;Soup&lt;/b&gt; &amp; co"


@given(st.text(max_size=400))
def test_a_name_of_any_kind_keeps_to_one_line_and_a_length(text: str) -> None:
    assert len(short(text, 50)) <= 50
    assert "\n" not in short(text)
