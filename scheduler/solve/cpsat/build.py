"""The model: a table of contents of the constraint families."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.capacity import add_capacities, add_people
from scheduler.solve.cpsat.changes import add_changes
from scheduler.solve.cpsat.cleaning import add_cleaning
from scheduler.solve.cpsat.costs import add_bands, add_dear, add_finish, add_options, add_stretch
from scheduler.solve.cpsat.hands import add_crews
from scheduler.solve.cpsat.leaving import add_leavings
from scheduler.solve.cpsat.links import add_links
from scheduler.solve.cpsat.model import Model
from scheduler.solve.cpsat.money import add_money
from scheduler.solve.cpsat.presence import add_presence, add_served
from scheduler.solve.cpsat.rooms import add_rooms
from scheduler.solve.cpsat.states import add_states
from scheduler.solve.cpsat.times import add_lengths, add_resting_places, add_within
from scheduler.solve.cpsat.uses import add_uses
from scheduler.solve.cpsat.visits import add_adds, add_tends

if TYPE_CHECKING:
    from scheduler.solve.cpsat.encoding import Encoding
    from scheduler.solve.cpsat.scope import Scope


def build(scope: Scope, encoding: Encoding, costs: bool = True) -> Model:
    """Write a scope down for CP-SAT.

    Parameters
    ----------
    costs
        Also what it all costs; not needed to ask whether it works.

    Notes
    -----
    Order: `presence` first (everything else asks it), capacities and people
    last (uses, crews and visits say what they take).
    """
    model = Model(scope, encoding)
    add_presence(model)
    add_resting_places(model)
    add_lengths(model)
    add_within(model)
    add_links(model)
    add_uses(model)
    add_states(model)
    add_rooms(model)
    add_crews(model)
    add_tends(model)
    add_adds(model)
    add_cleaning(model)
    add_capacities(model)
    add_people(model)
    add_leavings(model)
    if costs:
        add_served(model)
        if scope.problem.finish:
            add_finish(model)
        else:
            add_money(model)
            add_changes(model)
            add_bands(model)
            add_stretch(model)
            add_dear(model)
            add_options(model)
    return model
