"""Portions from counts: margins, choices, tables, diets, crew and waves."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.kitchen import PUBLISHED_MARGINS, MarginBand
from scheduler.domain.quantity import Percent
from scheduler.domain.week import Event
from scheduler.workload.demand import portions_for
from tests.weeks.tiny import component, dish, event, step, week_of
from tests.workload.weeks import Week

SOUP = component("soup", step("cook", "1 h", hands=1))


def portions(**course: Any) -> dict[str, int]:
    """Portions of every batch of the one dish, for an event of 45 guests at 5 tables."""
    document = week_of(
        SOUP, events=[event("supper", "18:00", {"dish": "plate", **course}, guests=45, tables=5)]
    )
    return {b.id: b.quantity for b in Week(document).work.batches if b.dish}


def banquet(guests: int, margin: str | None = None) -> Event:
    return Event.model_validate(
        {
            "id": "banquet",
            "first_plate": "2027-05-07 18:00",
            "guests": guests,
            "menu": [{"dish": "plate"}],
            **({"margin": margin} if margin else {}),
        }
    )


# -- margins ------------------------------------------------------------------------
# Guarantee up to 100 guests: plan 10 % more; 100 to 1,000: 5 %; above: 3 %. Slides of a
# catering textbook's chapter on production, seen second hand (slideplayer 3991165).


@pytest.mark.parametrize(
    ("guests", "made"),
    [
        (1, 2),  # 1.1
        (100, 110),  # 110.0 exactly: a float would say 111
        (101, 110),  # 5 % would be 106.05 -> 107, fewer than 100 guests get
        (104, 110),  # 109.2 -> 110
        (105, 111),  # 110.25 -> 111
        (1000, 1050),
        (1001, 1050),  # 3 % would be 1031.03 -> 1032
        (1020, 1051),  # 1050.6 -> 1051
    ],
)
def test_a_larger_event_never_gets_fewer_portions_at_the_edge_of_a_band(
    guests: int, made: int
) -> None:
    assert portions_for(guests, banquet(guests), PUBLISHED_MARGINS) == made


def test_portions_from_1_to_3000_guests_agree_with_decimal_and_never_fall() -> None:
    """Counted a second time in decimals: the most of the own band and of every smaller edge."""
    before = 0
    for guests in range(1, 3001):
        margin = "0.10" if guests <= 100 else "0.05" if guests <= 1000 else "0.03"
        ways = [Decimal(guests) * (1 + Decimal(margin))]
        ways += [Decimal(u) * (1 + m) for u, m in _EDGES if u < guests]
        expected = max(int(w.to_integral_value(ROUND_CEILING)) for w in ways)
        made = portions_for(guests, banquet(guests), PUBLISHED_MARGINS)
        assert made == expected >= before, guests
        before = made


_EDGES = ((100, Decimal("0.10")), (1000, Decimal("0.05")))


@given(st.integers(1, 3000), st.lists(st.integers(1, 3000), max_size=4, unique=True), st.data())
def test_bands_in_any_order_never_cost_a_guest_a_plate(
    guests: int, edges: list[int], data: st.DataObject
) -> None:
    bands = tuple(
        MarginBand(up_to=e, margin=Percent.parse(f"{data.draw(st.integers(0, 30))} %"))
        for e in [*edges, None]
    )
    made = portions_for(guests, banquet(guests), bands)
    assert made >= guests
    assert made <= portions_for(guests + 1, banquet(guests + 1), bands)


def test_an_event_with_a_margin_of_its_own_gets_that_and_no_band() -> None:
    assert portions_for(101, banquet(101, "5 %"), PUBLISHED_MARGINS) == 107


def test_the_published_banquet_needs_55_lb_of_raw_meat() -> None:
    """6 oz cooked at a yield of 75 % are 8 oz raw; 100 guests and 10 % are 110 portions; 55 lb.

    110 x 8 oz = 880 oz = 55 lb = 24,947.6 g; weighed in whole grams: 24,948 g. Same slides
    as the margins above.
    """
    roast = component("roast", step("roast", "2 h", hands=1), makes="10 lb")
    document = week_of(
        roast,
        dishes=[dish("plate", {"component": "roast", "amount": "6 oz-weight", "yield": "75 %"})],
        events=[event("banquet", "18:00", "plate", guests=100, margin="10 %")],
    )
    week = Week(document)
    assert week.batch("banquet.plate").quantity == 110
    assert week.share("roast.1", "banquet.plate") == 24_948
    assert Decimal(55) * Decimal("453.59237") == Decimal("24947.58035")


# -- counts --------------------------------------------------------------------------


def test_six_pieces_a_guest_one_board_a_table_one_piece_for_the_show() -> None:
    assert portions(per=6) == {"supper.plate": 270}
    assert portions(each="table") == {"supper.plate": 5}
    assert portions(each="table", per=2) == {"supper.plate": 10}
    assert portions(each="event") == {"supper.plate": 1}


def test_a_choice_as_a_count_or_as_a_share_of_guests() -> None:
    assert portions(count=17) == {"supper.plate": 17}
    assert portions(share="40 %") == {"supper.plate": 18}
    assert portions(share="41 %") == {"supper.plate": 19}  # 18.45: nobody gets 0.45 of a plate


def test_diets_are_made_apart_exactly_and_crew_meals_on_top() -> None:
    """45 guests, 9 of them gluten-free: 36 the usual way and 12 for the crew."""
    made = portions(crew=12, diets=[{"id": "gluten-free", "count": 9}])
    assert made == {"supper.plate.gluten-free": 9, "supper.plate": 48}


def test_margins_go_on_all_guests_and_never_on_diets() -> None:
    """100 guests and 10 % are 110: 9 without gluten exactly, 101 the usual way."""
    document = week_of(
        SOUP,
        events=[
            event(
                "supper",
                "18:00",
                {"dish": "plate", "diets": [{"id": "gluten-free", "count": 9}]},
                guests=100,
                margin="10 %",
            )
        ],
    )
    made = {b.id: b.quantity for b in Week(document).work.batches if b.dish}
    assert made == {"supper.plate.gluten-free": 9, "supper.plate": 101}


def test_waves_share_out_every_portion_once() -> None:
    """45 in thirds: cumulative 15.3, 30.15, 45 rounded up 16, 31, 45."""
    waves = [
        {"share": "34 %", "after": "0 min"},
        {"share": "33 %", "after": "30 min"},
        {"share": "33 %", "after": "1 h"},
    ]
    assert portions(waves=waves) == {
        "supper.plate.w1": 16,
        "supper.plate.w2": 15,
        "supper.plate.w3": 14,
    }


def test_diets_go_out_with_the_first_wave() -> None:
    waves = [{"share": "50 %", "after": "0 min"}, {"share": "50 %", "after": "1 h"}]
    document = week_of(
        SOUP,
        events=[
            event(
                "supper",
                "18:00",
                {"dish": "plate", "waves": waves, "diets": [{"id": "vegan", "count": 3}]},
            )
        ],
    )
    week = Week(document)
    assert week.batch("supper.plate.vegan").service == week.batch("supper.plate.w1").service
    assert week.batch("supper.plate.vegan").main == "supper.plate.w1"


def test_a_diet_swaps_its_component_and_nothing_else() -> None:
    other = component("bread", step("bake", "1 h", hands=1))
    document = week_of(
        SOUP,
        other,
        component("oatcakes", step("bake", "1 h", hands=1)),
        dishes=[dish("plate", "soup", "bread")],
        events=[
            event(
                "supper",
                "18:00",
                {
                    "dish": "plate",
                    "diets": [{"id": "coeliac", "count": 4, "swap": {"bread": "oatcakes"}}],
                },
            )
        ],
    )
    week = Week(document)
    assert week.share("oatcakes.1", "supper.plate.coeliac") == 4
    assert week.share("bread.1", "supper.plate.coeliac") == 0
    assert week.share("soup.1", "supper.plate.coeliac") == 4
    assert week.share("bread.1", "supper.plate") == 6


# -- a margin of a component's own ----------------------------------------------------


def test_tuiles_get_their_own_margin_once_instead_of_the_events() -> None:
    """100 guests, 9 of them a diet, 10 % for the event, 12 % for tuiles.

    (100 - 9) x 1.12 = 101.92 -> 102 for the usual plates and 9 for the diet;
    stacked blindly it would be 101 x 1.12 = 113.12.
    """
    tuiles = component("tuiles", step("bake", "1 h", hands=1), margin="12 %")
    document = week_of(
        tuiles,
        events=[
            event(
                "supper",
                "18:00",
                {"dish": "plate", "diets": [{"id": "vegan", "count": 9}]},
                guests=100,
                margin="10 %",
            )
        ],
    )
    week = Week(document)
    assert week.share("tuiles.1", "supper.plate") == 102
    assert week.share("tuiles.1", "supper.plate.vegan") == 9


def test_a_margin_is_not_applied_again_inside_a_component() -> None:
    tuiles = component("tuiles", step("bake", "1 h", hands=1), margin="50 %")
    cake = component(
        "cake",
        step("build", "1 h", hands=1, takes=[{"component": "tuiles", "amount": "10 pieces"}]),
    )
    week = Week(week_of(tuiles, cake))
    assert week.share("tuiles.1", "cake.1") == 10
