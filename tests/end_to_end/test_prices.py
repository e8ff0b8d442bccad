"""quoting prices: what was paid is offered to the price file, and written on yes, every other byte alike."""

from __future__ import annotations

import re
import sys
from datetime import date
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, done_well, quoting_run
from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from quoting.cli.prices import prices
from quoting.job.stock import read_prices
from quoting.runs.as_shown import Changed
from quoting.runs.paid import exact_price, prices_paid, take_over

if TYPE_CHECKING:
    from pathlib import Path

PAID = (
    ("white ash 8/4", "63.36", "9.6 bd ft", "2026-10-20"),
    ("flax cloth 300", "141", "10 m2", "2026-10-21"),
)
"""Items, money, quantity and day: 6.60 a board foot, 14.10 a square metre."""


@pytest.fixture
def paid(book: Path) -> Path:
    """A shop whose log holds receipts that are newer than its price file."""
    file = book / "prices.csv"
    file.write_text(re.sub(r"2027-01-\d\d", "2026-10-19", file.read_text("utf-8")), "utf-8")
    for item, money, quantity, day in PAID:
        done_well(
            "log",
            "2026-003",
            "paid",
            money,
            "--for",
            item,
            "--quantity",
            quantity,
            "--on",
            day,
            "--receipt",
            "R-9",
            cwd=book,
        )
    return book


def rows(folder: Path) -> dict[str, tuple[float, date | None]]:
    found, _ = read_prices((folder / "prices.csv").read_text("utf-8"))
    return {item: (found[item][0].price, found[item][0].dated) for item, *_ in PAID}


def test_a_newer_price_is_offered(paid: Path) -> None:
    """With what the file says, the day, the piece, the receipt and the supplier; the newest for an item, and none that is older."""
    found = prices_paid(paid)
    ash, cloth = found.offers
    assert (ash.item, ash.unit, ash.old, str(ash.new)) == ("white ash 8/4", "bd ft", 6.4, "6.60")
    assert (ash.day, ash.piece, ash.receipt, ash.supplier) == (
        date(2026, 10, 20),
        "2026-003",
        "R-9",
        "Cobb timber yard",
    )
    assert (cloth.old, str(cloth.new)) == (13.5, "14.10")
    done_well(
        "log",
        "2026-003",
        "paid",
        "15",
        "--for",
        "flax cloth 300",
        "--quantity",
        "1 m2",
        "--on",
        "2026-10-22",
        cwd=paid,
    )
    done_well(
        "log",
        "2026-003",
        "paid",
        "99",
        "--for",
        "flax cloth 300",
        "--quantity",
        "1 m2",
        "--on",
        "2026-09-05",
        cwd=paid,
    )
    assert [str(one.new) for one in prices_paid(paid).offers] == ["6.60", "15.00"]


def test_what_tells_no_price_is_not_offered(paid: Path) -> None:
    """Money without a quantity; things sold by the pack; what the file says already; an entry taken back."""
    done_well("log", "2026-003", "paid", "99", "--for", "white ash 8/4", "--on", "2026-10-26", cwd=paid)
    done_well(
        "log",
        "2026-003",
        "paid",
        "200",
        "--for",
        "laminating epoxy",
        "--quantity",
        "4.5 L",
        "--on",
        "2026-10-26",
        cwd=paid,
    )
    done_well(
        "log",
        "2026-003",
        "paid",
        "135",
        "--for",
        "flax cloth 300",
        "--quantity",
        "10 m2",
        "--on",
        "2026-10-26",
        cwd=paid,
    )
    assert [str(one.new) for one in prices_paid(paid).offers] == ["6.60"]
    entry = done_well("log", "2026-003", "--show", cwd=paid)
    number = next(line.split()[0] for line in entry.splitlines() if "63.36" in line)
    done_well("log", "2026-003", "void", number, cwd=paid)
    assert prices_paid(paid).offers == ()


def test_without_a_terminal_nothing_is_written(paid: Path) -> None:
    """The offers are listed, and how to write them is said."""
    before = contents(paid)
    said = done_well("prices", cwd=paid)
    assert "white ash 8/4, a bd ft (6.40), paid 2026-10-20 for 2026-003 (Cobb timber yard, R-9)" in said
    assert "6.60" in said
    assert "--yes" in said
    assert contents(paid) == before


def test_with_yes_all_are_written(paid: Path) -> None:
    """Price and day; all else of the file is as it was, and there is nothing left to offer."""
    before = (paid / "prices.csv").read_bytes()
    assert "Wrote 2 prices" in done_well("prices", "--yes", cwd=paid)
    assert rows(paid) == {
        "white ash 8/4": (6.6, date(2026, 10, 20)),
        "flax cloth 300": (14.1, date(2026, 10, 21)),
    }
    both = zip(before.splitlines(True), (paid / "prices.csv").read_bytes().splitlines(True), strict=True)
    assert [after.split(b",")[0] for old, after in both if old != after] == [
        b"white ash 8/4",
        b"flax cloth 300",
    ]
    assert "Nothing to write" in done_well("prices", cwd=paid)


@pytest.mark.parametrize(
    ("keys", "price"), [("\r\r", (6.4, 13.5)), ("y\r\r", (6.6, 13.5)), ("n\ry\r", (6.4, 14.1))]
)
def test_on_a_terminal_each_is_asked_for(
    paid: Path, monkeypatch: pytest.MonkeyPatch, keys: str, price: tuple[float, float]
) -> None:
    """Enter is no."""
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(isatty=lambda: True))
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=DummyOutput()):
        pipe.send_text(keys)
        prices(yes=False, shop=paid)
    assert tuple(one for one, _ in rows(paid).values()) == price


def test_a_price_that_somebody_changed_meanwhile_stops_all(paid: Path) -> None:
    """None of them is written."""
    found = prices_paid(paid)
    path = paid / "prices.csv"
    path.write_text(
        path.read_text("utf-8").replace("flax cloth 300,m2,13.50", "flax cloth 300,m2,13.90"), "utf-8"
    )
    before = path.read_bytes()
    with pytest.raises(Changed, match=r"found 13\.90 in the file"):
        take_over(paid, found.offers, found.shown)
    assert path.read_bytes() == before


def test_small_prices_keep_what_counts() -> None:
    """Cents from one on, four digits below; never with an exponent."""
    assert [f"{exact_price(value, 'USD'):f}" for value in (12.345, 1.0, 0.12345, 0.0000123456)] == [
        "12.35",
        "1.00",
        "0.1235",
        "0.00001235",
    ]


def test_a_shop_without_a_ledger(shop: Path) -> None:
    """As everywhere."""
    done = quoting_run("prices", cwd=shop)
    assert done.returncode == 2
    assert "ledger" in done.stderr
