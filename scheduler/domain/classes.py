"""Which words of the written week are planned, which are only carried, which are refused.

Every field belongs to exactly one class:

honoured
    It means in a plan what its description says.
carried
    It is accepted and kept, and every summary says "not checked yet: …".
refused
    It would change the plan in a way that is not planned yet, so anything but
    its default is an error that names it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from scheduler.domain.base import Word
from scheduler.domain.draft import Draft
from scheduler.domain.problems import Problem
from scheduler.domain.profiles import hours_of
from scheduler.domain.scenario import Scenario

_HONOURED = """
AllergenRule: document edition section evidence advice confirmed items
Acceptance: rule by reason day late person component lot
Add: verb time hands on after give_or_take
BatchSize: least most
BoughtIn: name lead_time order_days order_before days hours pack price at_most
Calm: late_start long_job last_part section_change job_change free_changes hand_over oven_change
Calm: short ends clean_down
Cooked: at for
CleanDown: verb time hands when caution between
Cooling: document edition section evidence advice confirmed windows
CoolDown: from to by air film shape stirred thickness depth diameter pan each mm_holds faces food
CoolDown: made_of sets_time
MadeOf: water protein fat carbohydrate fibre ash
Core: document edition section evidence advice confirmed value seconds fahrenheit also
Count: document edition section evidence advice confirmed value
Component: id name section makes batch loss margin piece_weight density steps keeps weight
Component: food_class leftover mixing leaves not_beside methods bought_in states
Component: allergens may_contain
Course: dish after each per count share crew diets waves
DayPart: id hours
Delivery: id ingredient at quantity in_house zone shelves at_most
Diet: id count swap free_of
Dish: id name section takes steps methods plating keeps allergens may_contain
Duty: id name days hours section people level equipment stores may_leave out_of_use held
Equipment: id name units capacity measure fill per_shelf heat alone may_use holds
Equipment: shut_while_running one_room clean_down washed hazards touched room
EquipmentTaken: equipment amount tray
Event: id name first_plate guests tables margin rank menu
Exposure: document edition section evidence advice confirmed value counts strictly once
Fall: from to within
FoodLimits: cold hot hot_roasts cooling cooling_mixed exposure rechill reheat reheat_within
FoodLimits: cook_whole cook_egg cook_minced cook_poultry roasts date_mark date_mark_beyond acid
FoodLimits: clean_every exposure_hot allergens parasites clean_between clean_every_cold
Freezing: at held solid
Freezings: document edition section evidence advice confirmed ways
FloatingBreak: between length
Gives: component amount
Hands: people section level may_use up_to only not_alone
Heat: modes coldest hottest ambient up down goes_cold_after
Held: core seconds
HeldAt: equipment mode celsius
InProgress: id component quantity method step started on last_visit reserved_for state
Length: document edition section evidence advice confirmed value
Measured: document edition section evidence advice confirmed value
Roasts: document edition section evidence advice confirmed rows
Rule: document edition section evidence advice confirmed
ColdRoom: room every
ColdRooms: document edition section evidence advice confirmed rows
Temperature: document edition section evidence advice confirmed value
Within: document edition section evidence advice confirmed value strictly
Keep: not_before best_from best_until zone at_most per_shelf
Costs: overtime_allowance overtime_hour rest_hour buying_allowance step
Kitchen: own_limits confirmed rule_profile
Kitchen: id name zone grid open transfer diets_ahead margins day_parts sections people equipment
Kitchen: stores duties trainee_hour time_in_hand calm wish costs rest
Leave: times longest breaks
MarginBand: up_to margin
Method: id name steps
Need: equipment zone amount per tray setting door_shut until
OnHand: id component quantity made store reserved_for state
Overtime: at_end at_start
Person: id name sections may_use shifts off overtime born
Plating: per_hour hands on
Rest: daily_rest weekly_rest breaks young_night
Scenario: schema kitchen components dishes week
Section: id name
Setting: mode coldest hottest
ShelvesTaken: store shelves
Shift: days hours breaks floating_breaks
State: id name of section makes out_of batch loss steps keeps
Step: id name section time hands load unload tend add on takes in_loads waves alone then
Step: may_leave gives kept core cooling hazards test if_interrupted
Store: id name zone shelves coldest warmest
Test: measure target longer last_call
Take: component ingredient amount yield within state
Tend: verb time hands on every give_or_take day_parts once_a_shift
Time: at_least plus per best at_most decides undivided
TimeInHand: long out_ahead quiet day_full price
Unit: id capacity fill holds
Visit: verb time hands on
Wait: not_before best_from best_until at_most zone per_shelf in_machine
Washing: time hands dry within
Wave: after share
Week: id name starts ends plan_from events on_hand in_progress deliveries wishes accepted
Wish: kind component step person unit days done_by not_before
WishPrice: job minute
"""
HONOURED: frozenset[str] = frozenset(
    f"{model}.{name}"
    for model, _, names in (line.partition(": ") for line in _HONOURED.strip().splitlines())
    for name in names.split()
)
"""Fields that mean in a plan what they say, as "Model.field" with the field as it is written."""

CARRIED: dict[str, str] = {
}
"""Field: what is not checked yet, in a chef's words."""

REFUSED: dict[str, str] = {}
"""Field: what is not planned yet."""


def _set_fields(part: Any) -> Iterator[tuple[Word, str]]:
    """Every field of a part, and of what is in it, that is not at its default.

    What stands inside a refused field is not looked at.
    """
    if isinstance(part, tuple):
        for one in part:
            yield from _set_fields(one)
    if not isinstance(part, Word):
        return
    for name, info in type(part).model_fields.items():
        value = getattr(part, name, None)
        if value is None or (not info.is_required() and value == info.default):
            continue
        key = f"{type(part).__name__}.{info.alias or name}"
        yield part, key
        if key not in REFUSED:
            yield from _set_fields(value)


def refused(draft: Draft) -> list[Problem]:
    """A line for every word that would change the plan in a way that is not planned yet."""
    found = []
    for part in (draft.kitchen, *draft.as_written):
        for owner, key in _set_fields(part):
            if key in REFUSED:
                field = key.partition(".")[2]
                what = f"`{field}`: {REFUSED[key]} not planned yet"
                found.append(draft.problem(owner, field, what=what))
    return found


def not_checked_yet(scenario: Scenario) -> tuple[str, ...]:
    """What the written week says that no plan takes into account yet, in a chef's words."""
    said = {CARRIED[key] for _, key in _set_fields(scenario) if key in CARRIED}
    if hours_of(scenario.kitchen) is None and any(p.born for p in scenario.kitchen.people):
        said.add("young workers' limits (no rule profile with hours)")
    return tuple(sorted(said))
