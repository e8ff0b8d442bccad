"""Numbers of quotes, and how a piece may go from one state to the next."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.errors import Problems, Reading
from quoting.ledger.entries import Entry, holding
from quoting.ledger.quotes import Number, number
from quoting.ledger.states import NEXT, WORK_ALLOWED, Standing, refuse_step, standing_of

DAY = date(2026, 3, 2)


@given(year=st.integers(1000, 9999), serial=st.integers(1, 999_999), revision=st.integers(0, 18_000))
def test_a_number_is_read_as_it_is_written(year: int, serial: int, revision: int) -> None:
    wanted = Number(year, serial, revision)
    assert number(str(wanted)) == wanted


@pytest.mark.parametrize(
    ("revision", "letters"),
    [(0, ""), (1, "b"), (2, "c"), (25, "z"), (26, "aa"), (27, "ab"), (51, "az"), (52, "ba")],
)
def test_revisions_are_letters(revision: int, letters: str) -> None:
    assert str(Number(2027, 14, revision)) == f"2027-014{letters}"


def test_a_number_may_be_written_short() -> None:
    assert number(" 2027-14 ") == number("2027-014") == number("2027-014A") == Number(2027, 14)


@pytest.mark.parametrize(
    "text", ["", "14", "2027", "2027-0", "2027-000", "2027-014-b", "27-14", "2027-014 b", "x" * 99]
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(Reading, match="write a number such as"):
        number(text)


def states(*words: str) -> Standing:
    """Where states, a day each, bring a piece."""
    entries = [
        Entry(kind="state", day=DAY.replace(day=2 + i), said=word, id=i + 1) for i, word in enumerate(words)
    ]
    return standing_of(holding(entries))


def test_built_and_delivered_stand_beside_the_deal() -> None:
    assert states("for sale", "built").words == "for sale, built"
    assert states("for sale", "built", "on consignment", "sold").words == "sold, built"
    assert states("awaiting answer", "agreed", "delivered").words == "agreed, delivered"
    assert states("awaiting answer", "agreed", "delivered", "returned").words == "returned, built"


@pytest.mark.parametrize(
    ("now", "wanted"),
    [
        (("awaiting answer",), "sold"), (("awaiting answer",), "built"), (("awaiting answer",), "delivered"), (("awaiting answer",), "awaiting answer"),
        (("awaiting answer", "refused"), "delivered"), (("awaiting answer", "agreed"), "refused"), (("awaiting answer", "agreed"), "returned"),
        (("awaiting answer", "agreed", "built"), "built"), (("for sale",), "agreed"), (("for sale", "written off"), "for sale"),
        (("for sale",), "delivered"), (("awaiting answer", "agreed", "cancelled"), "delivered"),
    ],
)  # fmt: skip
def test_a_step_that_makes_no_sense_is_refused_with_those_that_do(now: tuple[str, ...], wanted: str) -> None:
    with pytest.raises(Problems, match=r"write one of|take the last state back"):
        refuse_step(states(*now), wanted)


def test_every_step_that_is_offered_is_taken() -> None:
    """What the refusal names can be done: walked through from every deal, built and delivered or not."""
    for deal in NEXT:
        for built, delivered in ((False, False), (True, False), (True, True)):
            now = Standing(deal=deal, since=DAY, built=built, delivered=delivered)
            with pytest.raises(Problems) as wrong:
                refuse_step(now, "nonsense that is no state")
            assert "found" in str(wrong.value)
            for wanted in (*NEXT, *WORK_ALLOWED):
                try:
                    refuse_step(now, wanted)
                except Problems as refused:
                    advice = str(refused).rpartition("write one of: ")[2].rstrip(".")
                    offered = advice.split(", ") if "write one of: " in str(refused) else []
                    for one in offered:
                        refuse_step(now, one)


def test_an_unknown_state_is_told_with_the_nearest() -> None:
    with pytest.raises(Problems, match='write "delivered"'):
        refuse_step(states("awaiting answer", "agreed"), "delivred")


def test_a_state_taken_back_never_was() -> None:
    entries = [
        Entry(kind="state", day=DAY, said="awaiting answer", id=1),
        Entry(kind="state", day=DAY, said="refused", id=2),
        Entry(kind="void", day=DAY, counters=2, id=3),
    ]
    assert standing_of(holding(entries)).words == "awaiting answer"
