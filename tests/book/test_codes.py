"""Personal codes: nobody gets in with a wrong one, and nobody stays out for good."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import func, select

from scheduler.book.codes import COST, holders, make_code, withdraw_code
from scheduler.book.drafts import keep_draft
from scheduler.book.errors import BookError, NotAllowed, NotThere
from scheduler.book.listening import check_listening, sitting_here
from scheduler.book.listing import kitchens
from scheduler.book.opening import Book
from scheduler.book.revisions import digest
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.sign_in import (
    LASTS,
    NotSignedIn,
    WrongCode,
    needed,
    revoke,
    sign_in,
    sign_out,
    who_is,
)
from scheduler.book.tables import codes, revisions, wrong_codes
from scheduler.book.waiting import FORGOTTEN, LONGEST, waits_until
from tests.book.people import CHEF, COOK, SOUS, START, Clock, staffed


@pytest.fixture
def house(book: Book, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Iterator[Book]:
    """A book with a kitchen whose clock the test moves, and codes that are quick to try."""
    monkeypatch.setattr("scheduler.book.codes.COST", {"n": 2, "r": 8, "p": 1})
    found = replace(book, clock=clock)
    staffed(found)
    yield found


def other(code: str) -> str:
    """A code of the same form that is another."""
    return f"{(int(code) + 1) % 10**6:06}"


def test_a_cook_signs_in_with_the_code_that_the_chef_made(house: Book) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)
    assert who_is(house, sign_in(house, "hof", "cem", f" {code[:3]} {code[3:]} ")) == COOK
    assert [(h.person, h.role) for h in holders(house, CHEF)] == [
        ("agnes", Role.CHEF), ("cem", Role.COOK),
    ]


def test_the_book_does_not_know_the_code_itself(house: Book) -> None:
    code = make_code(house, CHEF, "agnes", Role.CHEF)
    with house.reading() as connection:
        row = connection.execute(select(codes)).one()
    assert code not in str(row)
    # RFC 7914, by way of the standard library, with what is written beside the hash.
    again = hashlib.scrypt(
        code.encode(), salt=bytes.fromhex(row.salt), maxmem=2**27, dklen=32, **row.cost
    )
    assert again.hex() == row.hash


def test_a_code_takes_a_tenth_of_a_second_and_32_megabytes_to_try() -> None:
    # RFC 7914, section 2: memory is about 128 * N * r bytes.
    assert 128 * COST["n"] * COST["r"] == 32 * 2**20


def test_scrypt_is_the_one_of_the_standard() -> None:
    # RFC 7914, section 12, second test vector.
    found = hashlib.scrypt(b"password", salt=b"NaCl", n=1024, r=8, p=16, dklen=64, maxmem=2**26)
    assert found.hex().startswith("fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b37316")


def test_the_code_of_another_opens_nothing(house: Book) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)
    for person, tried in (("cem", other(code)), ("dora", code), ("nobody", code), ("cem", "")):
        with pytest.raises(WrongCode, match=f"not the code of {person}"):
            sign_in(house, "hof", person, tried)


def test_after_five_wrong_codes_waits_double_and_the_right_one_is_not_even_looked_at(
    house: Book, clock: Clock
) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)
    for _ in range(5):
        with pytest.raises(WrongCode, match="not the code"):
            sign_in(house, "hof", "cem", other(code))
    for minutes in (1, 2, 4, 8, 16, 32, 60, 60):
        told = f"in {minutes} min" if minutes > 1 else "in 60 s"
        with pytest.raises(WrongCode, match=told):
            sign_in(house, "hof", "cem", code)
        clock.move(minutes=minutes)
        with pytest.raises(WrongCode, match="not the code"):
            sign_in(house, "hof", "cem", other(code))
    clock.move(hours=1)
    assert who_is(house, sign_in(house, "hof", "cem", code)) == COOK
    with pytest.raises(WrongCode, match="not the code"):  # and all is forgiven
        sign_in(house, "hof", "cem", other(code))


def test_four_wrong_codes_now_and_then_keep_nobody_waiting(house: Book, clock: Clock) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)
    for _ in range(20):
        with pytest.raises(WrongCode, match="not the code"):
            sign_in(house, "hof", "cem", other(code))
        clock.move(minutes=3)
    assert who_is(house, sign_in(house, "hof", "cem", code)) == COOK


def test_a_new_code_ends_the_waiting(house: Book) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)
    for _ in range(5):
        with pytest.raises(WrongCode):
            sign_in(house, "hof", "cem", other(code))
    assert sign_in(house, "hof", "cem", make_code(house, CHEF, "cem", Role.COOK))


def test_many_guesses_at_once_are_no_quicker_than_one_after_the_other(house: Book) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)

    def guess(n: int) -> str:
        with pytest.raises(WrongCode) as error:
            sign_in(house, "hof", "cem", f"{(int(code) + 1 + n) % 10**6:06}")
        return str(error.value)

    with ThreadPoolExecutor(8) as threads:
        said = list(threads.map(guess, range(12)))
    assert sum("not the code" in s for s in said) == 5
    with house.reading() as connection:
        assert connection.execute(select(func.count()).select_from(wrong_codes)).scalar() == 5


def test_a_clock_that_ran_ahead_keeps_nobody_out_once_it_is_right_again(
    house: Book, clock: Clock
) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)
    clock.move(days=300)
    for _ in range(5):
        with pytest.raises(WrongCode):
            sign_in(house, "hof", "cem", other(code))
    clock.move(days=-300)
    with pytest.raises(WrongCode, match="in 60 s"):
        sign_in(house, "hof", "cem", code)
    clock.move(minutes=1)
    assert who_is(house, sign_in(house, "hof", "cem", code)) == COOK


@given(st.lists(st.integers(0, 3000), max_size=40), st.integers(-3000, 3000))
def test_no_row_of_wrong_codes_keeps_anybody_out_for_longer_than_an_hour(
    gaps: list[int], shift: int
) -> None:
    times: list[datetime] = []
    for gap in gaps:
        times.append((times[-1] if times else START) + timedelta(seconds=gap))
    now = (times[-1] if times else START) + timedelta(seconds=shift)  # also a clock set back
    until = waits_until(times, now)
    assert until is None or now < until <= now + LONGEST
    assert waits_until(times, max([*times, now]) + max(LONGEST, FORGOTTEN)) is None


def test_a_sign_in_ends_by_itself_when_revoked_and_with_its_code(
    house: Book, clock: Clock
) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    code = make_code(house, CHEF, "cem", Role.COOK)

    def ended(token: str) -> bool:
        try:
            who_is(house, token)
        except NotSignedIn:
            return True
        return False

    phone, tablet = (sign_in(house, "hof", "cem", code) for _ in range(2))
    sign_out(house, phone)
    assert (ended(phone), ended(tablet)) == (True, False)
    assert revoke(house, CHEF, "cem") == 1
    assert ended(tablet)
    left_open = sign_in(house, "hof", "cem", code)
    clock.move(hours=LASTS.total_seconds() / 3600)
    assert ended(left_open)
    clock.move(hours=-20)  # a clock that is set back does not open what has ended
    assert ended(left_open)
    clock.move(hours=20)
    third = sign_in(house, "hof", "cem", code)
    withdraw_code(house, CHEF, "cem")
    assert ended(third)
    with pytest.raises(WrongCode):
        sign_in(house, "hof", "cem", code)


def test_a_sign_in_that_was_made_up_or_changed_is_none(house: Book) -> None:
    code = make_code(house, CHEF, "agnes", Role.CHEF)
    token = sign_in(house, "hof", "agnes", code)
    for wrong in ("", "agnes", token[:-1], token[:-2] + "AA", token + "."):
        with pytest.raises(NotSignedIn, match="sign in again"):
            who_is(house, wrong)


def test_only_the_chef_makes_codes(house: Book) -> None:
    for who in (SOUS, COOK):
        with pytest.raises(NotAllowed, match="takes a chef"):
            make_code(house, who, "cem", Role.CHEF)
        with pytest.raises(NotAllowed, match="takes a chef"):
            revoke(house, who, "agnes")


def test_a_kitchen_never_ends_up_without_anybody_who_can_sign_in_as_chef(house: Book) -> None:
    with pytest.raises(BookError, match="Make a chef's code for somebody first"):
        make_code(house, CHEF, "cem", Role.COOK)
    make_code(house, CHEF, "agnes", Role.CHEF)
    make_code(house, CHEF, "cem", Role.COOK)
    with pytest.raises(BookError, match="Make a chef's code"):
        withdraw_code(house, CHEF, "agnes")
    with pytest.raises(BookError, match="Make a chef's code"):
        make_code(house, CHEF, "agnes", Role.COOK)
    withdraw_code(house, CHEF, "cem")
    withdraw_code(house, CHEF, "agnes")  # the last of all: back to nothing set up
    assert not needed(house, "hof")


def test_a_code_is_for_somebody_of_the_kitchen(house: Book) -> None:
    with pytest.raises(NotThere, match=r"Nobody in hof has the id 'agnis'\. Maybe 'agnes'"):
        make_code(house, CHEF, "agnis", Role.CHEF)


def test_with_nothing_set_up_whoever_sits_there_is_the_chef_and_no_network_is_listened_to(
    house: Book,
) -> None:
    assert sitting_here(house, "hof", "anna").role is Role.CHEF
    for here in ("127.0.0.1", "localhost", "::1", "[::1]", "127.8.9.1"):
        check_listening(house, here)
    for there in ("0.0.0.0", "::", "192.168.1.7", "kitchen.example", ""):
        with pytest.raises(BookError, match="would be the chef"):
            check_listening(house, there)
    make_code(house, CHEF, "agnes", Role.CHEF)
    check_listening(house, "0.0.0.0")
    with pytest.raises(NotSignedIn, match="please sign in"):
        sitting_here(house, "hof", "anna")
    staffed(house, "annex")
    with pytest.raises(BookError, match="in annex"):
        check_listening(house, "0.0.0.0")


def test_a_kitchen_that_is_only_a_draft_or_was_thrown_out_keeps_nobody_off_the_network(
    house: Book,
) -> None:
    make_code(house, CHEF, "agnes", Role.CHEF)
    keep_draft(house, Who("newhouse", "agnes", Role.CHEF), "kitchen", {"name": "New house"})
    assert [k.id for k in kitchens(house, CHEF)] == ["hof"]
    check_listening(house, "0.0.0.0")
    staffed(house, "annex")
    with pytest.raises(BookError, match="in annex yet"):
        check_listening(house, "0.0.0.0")
    with house.writing() as connection:
        connection.execute(
            revisions.insert(),
            {"kitchen": "annex", "kind": "kitchen", "id": "annex", "number": 2, "body": None,
             "sha256": digest(None), "who": "agnes", "at": START},
        )  # fmt: skip
    check_listening(house, "0.0.0.0")


def test_nobody_becomes_chef_by_naming_a_kitchen_that_is_not_there(house: Book) -> None:
    assert sitting_here(house, "newhouse", "anna").role is Role.CHEF  # nobody signs in anywhere
    make_code(house, CHEF, "agnes", Role.CHEF)
    with pytest.raises(NotSignedIn, match="no kitchen 'newhouse', and hof has personal codes"):
        sitting_here(house, "newhouse", "anna")
    staffed(house, "annex")
    assert sitting_here(house, "annex", "anna").role is Role.CHEF
