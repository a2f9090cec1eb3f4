"""What wet fingers type: caught where it cannot be, taken where it is plain what is meant."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.book.errors import BookError
from scheduler.book.recording import MODELS, Measured, in_words, said


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ({"what": "core", "value": "63,5", "unit": "c"}, "core 63.5 °C"),
        ({"what": "core", "value": 158, "unit": "°F"}, "core 158 °F"),
        ({"what": "core", "value": "\N{MINUS SIGN}18", "unit": "°C"}, "core -18 °C"),
        ({"what": "pH", "value": "4,6", "unit": "ph"}, "pH 4.6"),
        ({"what": "oven", "value": 240, "unit": "°C"}, "oven 240 °C"),
        ({"what": "store", "value": 11, "unit": "°C", "did": "to the other walk-in"},
         "store 11 °C; to the other walk-in"),
        ({"what": "side", "value": "1.25", "unit": "KG"}, "side 1.25 kg"),
    ],
)  # fmt: skip
def test_a_measurement_is_taken_as_it_is_meant(body: dict[str, Any], says: str) -> None:
    assert in_words("measured", said("measured", body).model_dump(mode="json")) == says


def test_fahrenheit_is_kept_as_it_was_read_and_compared_in_celsius() -> None:
    # FDA Food Code 3-401.11 writes 63 °C (145 °F), 74 °C (165 °F): equal to the nearest degree.
    for fahrenheit, celsius in ((145, 63), (165, 74), (32, 0), (212, 100)):
        word = said("measured", {"what": "core", "value": fahrenheit, "unit": "°F"})
        assert isinstance(word, Measured)
        assert word.celsius is not None
        assert round(word.celsius) == celsius


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ({"value": 630, "unit": "°C"}, "630 °C cannot be, for 'core'. Maybe a point was left out: "
         "'63 °C'."),
        ({"value": 145, "unit": "°C"}, "145 °C cannot be, for 'core'. Maybe °F was meant: "
         "'62.8 °C', or a point was left out: '14.5 °C'."),
        ({"value": 165, "unit": "c"}, "°F was meant: '73.9 °C'"),
        ({"value": "1,250", "unit": "g"}, "'1,250' has a comma. Maybe 1.250."),
        ({"value": 46, "unit": "pH"}, "A pH of 46 is not between 0 and 14. Maybe '4.6'."),
        ({"value": 5, "unit": "grad"}, "Unit: unknown unit 'grad'. Maybe"),
        ({"value": "warm", "unit": "°C"}, "Value: 'warm' is not a number."),
        ({"value": -2, "unit": "kg"}, "-2 kg cannot be: it is less than nothing."),
        ({"value": True, "unit": "°C"}, "Value: a measurement is a number."),
        ({"value": 5}, "An entry 'measured' needs 'unit'."),
    ],
)  # fmt: skip
def test_a_measurement_that_cannot_be_is_caught_with_what_was_meant(
    body: dict[str, Any], says: str
) -> None:
    with pytest.raises(BookError) as error:
        said("measured", {"what": "core"} | body)
    assert says in str(error.value)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    ("kind", "body", "says"),
    [
        ("skipped", {}, "An entry 'skipped' needs 'why'."),
        ("skipped", {"why": "  "}, "'why' is empty."),
        ("discarded", {"quantity": "2 kg"}, "An entry 'discarded' needs 'why'."),
        ("quantity", {"made": "5,5 kg"}, "has a comma. Maybe '5.5 kg'."),
        ("quantity", {"made": "0 kg"}, "is nothing"),
        ("quantity", {"made": "5 kg", "usable": "part"}, "Say how much of it is good."),
        ("quantity", {"made": "5 kg", "usable": "part", "good": "6 kg"}, "is not a part of it."),
        ("quantity", {"made": "5 kg", "usable": "part", "good": "2 l"}, "in different ways."),
        ("quantity", {"made": "5 kg", "good": "2 kg"}, "where it is usable in part."),
        ("done", {"when": "now"}, "An entry 'done' has no 'when'."),
        ("done", [], "An entry 'done' is fields and their values."),
        ("dones", {}, "There is no entry of the kind 'dones'. Maybe 'done'."),
        ("note", {"text": "\ud800"}, "Text:"),
    ],
)
def test_what_is_missing_is_said_in_a_sentence(kind: str, body: Any, says: str) -> None:
    with pytest.raises(BookError) as error:
        said(kind, body)
    assert says in str(error.value)
    assert "\n" not in str(error.value)


def test_every_kind_of_the_book_has_words_for_a_log() -> None:
    bodies: dict[str, dict[str, Any]] = {
        "done": {}, "started": {}, "skipped": {"why": "no trout"},
        "measured": {"what": "core", "value": 80, "unit": "°C"},
        "quantity": {"made": "5 kg", "usable": "part", "good": "3 kg"},
        "discarded": {"why": "warm overnight"}, "note": {"text": "salty"},
    }  # fmt: skip
    assert set(bodies) == set(MODELS)
    assert {kind: in_words(kind, body) for kind, body in bodies.items()} == {
        "done": "done", "started": "started", "skipped": "left out: no trout",
        "measured": "core 80 °C", "quantity": "5 kg made, 3 kg of it good",
        "discarded": "all thrown away: warm overnight", "note": "salty",
    }  # fmt: skip


def test_an_old_entry_that_would_be_refused_today_is_still_read() -> None:
    assert in_words("measured", {"what": "core", "value": "900"}) == (
        'measured: {"value":"900","what":"core"}'
    )


@pytest.mark.parametrize(
    ("kind", "body", "says"),
    [
        ("done", {}, "done"),
        ("done", {"visit": "tend:2"}, "done (tend:2)"),
        ("done", {"as_planned": True}, "done as planned"),
        ("skipped", {"visit": "load:0", "why": "no oil"}, "left out (load:0): no oil"),
        ("done", {"clock": 3780}, "done (time put right: the clock there was 1 h 3 min behind)"),
    ],
)
def test_the_log_says_of_which_visit_and_by_whose_clock(
    kind: str, body: dict[str, Any], says: str
) -> None:
    assert in_words(kind, body) == says


def test_a_visit_that_cannot_be_is_refused() -> None:
    with pytest.raises(BookError, match="Visit"):
        said("done", {"visit": "soup.1/simmer"})
