"""The page of stores, hands and ovens: it says where there is least room, and when."""

from __future__ import annotations

import pytest

from scheduler.book.opening import Book
from scheduler.domain.scenario import Scenario
from scheduler.plan.figures import tightest_store
from scheduler.plan.file import plan_of
from scheduler.plan.load import settings
from scheduler.plan.words import Names
from tests.ui.conftest import Opened


@pytest.mark.parametrize("full", ["shelves", "hands", "settings", "nonsense"])
def test_each_way_of_being_full_opens(hung: Book, opened: Opened, full: str) -> None:
    at = opened("room", full=full, length="all")
    assert not at.exception
    assert not at.error
    assert len(at.dataframe) == 1 or at.info


def test_the_table_has_the_tightest_moment_of_each_store(
    hung: Book, opened: Opened, planned: tuple[Scenario, str]
) -> None:
    file = plan_of(planned[1])
    tight = tightest_store(file.scenario, file.plan)
    assert tight is not None
    at = opened("room", full="shelves", length="all")
    table = at.dataframe[0].value
    names = Names(file.scenario, file.plan)
    row = table[table[""] == names.store(tight.what)].iloc[0]
    assert (row["shelves"], row["of"]) == (tight.used, tight.of)
    assert row["tightest"] == names.moment(tight.at)


def test_the_table_has_every_setting(
    hung: Book, opened: Opened, planned: tuple[Scenario, str]
) -> None:
    file = plan_of(planned[1])
    found = settings(Names(file.scenario, file.plan))
    at = opened("room", full="settings", length="all")
    told = [s for every in found.values() for s in every]
    if told:
        assert len(at.dataframe[0].value) == len(told)
    else:
        assert "Nothing in this plan is set" in at.info[0].value
