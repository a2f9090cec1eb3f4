"""What people type stands on a screen as they typed it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ui.wording import plain, short, spoken, untagged


def test_a_dish_named_like_markup_is_shown_as_it_is_named() -> None:
    assert plain("[x](y) :material/x: $5") == "\\[x\\]\\(y\\) \\:\u2060material/x\\: \\$5"
    assert untagged("<b>Soup</b> & co") == "&lt;b&gt;Soup&lt;/b&gt; &amp; co"


def test_a_sentence_names_fields_as_the_page_does() -> None:
    said = "And so much more for every `per`, but not `plus`."
    assert spoken(said, {"per": "For every"}) == (
        "And so much more for every 'For every', but not 'plus'."
    )


@given(st.text(max_size=400))
def test_a_name_of_any_kind_keeps_to_one_line_and_a_length(text: str) -> None:
    assert len(short(text, 50)) <= 50
    assert "\n" not in short(text)
