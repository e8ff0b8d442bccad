"""Over all pieces in hand: what to do on a day, what to buy in one errand, which quotes to ask after."""

from __future__ import annotations

import csv
import tomllib
from datetime import date, timedelta
from decimal import Decimal
from itertools import product
from math import ceil
from typing import TYPE_CHECKING, Any

import pytest
from end_to_end.command import ROOT, edited, environment, parsed, quoting_run
from end_to_end.ledgers import ran

from quoting.errors import Problems
from quoting.job.load import load_shop
from quoting.ledger import quotes
from quoting.ledger.store import reading
from quoting.logbook.lapsing import DAYS
from quoting.logbook.saying import Saying
from quoting.runs.buying import BuyingList, buying
from quoting.runs.log import Origin, log
from quoting.runs.marking import mark
from quoting.runs.shops import pieces
from quoting.runs.today import Bench, Today, today

if TYPE_CHECKING:
    from pathlib import Path

    from quoting.logbook.buying import ToBuy

KEYS = tomllib.loads((ROOT / "quoting" / "reference" / "json_keys.toml").read_text("utf-8"))
COUNTER, SHELF = "2026-002", "2026-003"
LAST_ROUND = date(2026, 9, 18)
"""The day on which the third of six rounds of the counter front was pressed; its resin cures 12 h."""


def told(words: str) -> None:
    """Nobody waits."""


def say(book: Path, day: date, kind: str, value: str, **more: Any) -> None:
    """Log on the counter front."""
    log(book, day, COUNTER, Saying(kind=kind, value=value, **more), "", Origin("test"), told)


def bench(found: Today, number: str = COUNTER) -> Bench:
    """A piece of the day."""
    return next(one for one in found.rows if str(one.piece.number) == number)


# --- today


def test_a_day_holds_no_more_than_its_hours_and_loses_none(book: Path) -> None:
    """The hours of a day are those of the week over its days; what a day has no room for comes next."""
    found = today(book, date(2026, 9, 22))
    assert found.room_h == pytest.approx(
        load_shop(book).shop.shop.week.hours / load_shop(book).shop.shop.week.days
    )
    assert 0 < found.work_h <= found.room_h + 1e-9
    one = bench(found)
    assert sum(task.left_h for task in (*one.today, *one.next)) == pytest.approx(one.to_go_h)
    assert {task.line for task in one.ahead.tasks} == {
        line.line.id
        for line in one.figures.lines
        if line.line.trade == "labour"
        and line.quantity < line.line.quantity - 1e-9
        and "design" not in line.line.id
    }, "design was marked as done"


def test_what_cures_is_told_with_its_evening_and_nothing_of_its_part_is_begun(book: Path) -> None:
    """12 h after the evening of the 18th is the 19th; from the 20th on the panel is free."""
    for day, cures in (
        (LAST_ROUND, True),
        (LAST_ROUND + timedelta(days=1), True),
        (LAST_ROUND + timedelta(days=2), False),
    ):
        one = bench(today(book, day))
        assert [(cure.part, cure.number, cure.steps, cure.ends) for cure in one.ahead.cures] == (
            [("panel", 3, 6, LAST_ROUND + timedelta(days=1))] if cures else []
        )
        panel = [task for task in one.ahead.tasks if task.part == "panel"]
        assert all((task.cures_until is not None) == cures for task in panel)
        assert any(task.today_h for task in panel) != cures


def test_a_day_takes_one_round_of_what_is_left(book: Path) -> None:
    """Three of six rounds are pressed: a third of what is left of the tasks that rounds took hours for."""
    one = bench(today(book, date(2026, 9, 22)))
    laying = next(task for task in one.today if task.name == "laying")
    assert (laying.step, laying.steps) == (4, 6)
    assert laying.today_h == pytest.approx(laying.left_h / 3)
    assert all(task.today_h == 0 for task in one.ahead.tasks if task.part == "panel" and not task.so_far_h)
    whole = {task.name: task for task in one.ahead.tasks}
    assert whole["assembly"].today_h == 0, "the panel is not ready for it"
    assert whole["milling-setup"].today_h > 0, "it belongs to the edging, which can be milled"


def test_hours_that_are_logged_move_the_day_on(book: Path) -> None:
    day = date(2026, 9, 22)
    before = bench(today(book, day))
    say(book, day, "hours", "1 h", task="laying", part="panel")
    after = bench(today(book, day))
    assert before.to_go_h - after.to_go_h == pytest.approx(
        next(task.left_h for task in before.ahead.tasks if task.name == "laying")
        - next((task.left_h for task in after.ahead.tasks if task.name == "laying"), 0.0)
    )
    say(book, day, "done", "", stage="office")
    assert all(task.stage != "office" for task in bench(today(book, day)).ahead.tasks)


def test_what_is_waited_for_is_ordered_then_on_its_way_then_there(book: Path) -> None:
    def waits(day: date) -> list[tuple[str, date | None]]:
        there = bench(today(book, day)).ahead.waits
        return [(one.kind, one.day) for one in there if one.what == "bag film"]

    ordered = date(2026, 9, 22)
    assert waits(ordered) == [("order", None)]
    say(book, ordered, "paid", "63", of="bag film", quantity="30 m2")
    assert waits(ordered) == [("delivery", ordered + timedelta(days=7))]
    assert waits(ordered + timedelta(days=7)) == []


def test_the_payment_that_is_due_next_is_told_until_it_is_there(book: Path) -> None:
    def owed(day: date) -> list[tuple[str, Decimal | None]]:
        return [
            (one.what, one.amount) for one in bench(today(book, day)).ahead.waits if one.kind == "payment"
        ]

    day = date(2026, 9, 22)
    plan = bench(today(book, day)).piece.sold.payments
    assert owed(day) == [(plan[1].name, plan[1].total)]
    say(book, day, "received", "100")
    assert owed(day) == [(plan[1].name, plan[1].total - 100)]
    say(book, day, "received", str(plan[1].total - 100))
    assert owed(day) == [(plan[2].name, plan[2].total)]


def test_the_piece_that_is_due_first_has_the_day_first(book: Path) -> None:
    """A second piece takes what the first leaves of the day."""
    job = book / "jobs" / "wall_shelf.toml"
    edited(job, "[piece]", "# once more\n[piece]")
    ran(book, "issue", "jobs/wall_shelf.toml", "--again")
    number = "2026-005"
    mark(book, date(2026, 10, 1), number, "agreed", "2026-10-01", "", "", "", "", told)
    found = today(book, date(2026, 10, 2))
    dues = [one.ahead.due for one in found.rows]
    assert [str(one.piece.number) for one in found.rows] == [COUNTER, number]
    assert dues == sorted(dues)
    assert found.work_h == pytest.approx(found.room_h)
    fresh = bench(found, number)
    assert fresh.ahead.tasks[0].stage == "office", "a piece begins at the desk"


def test_today_reads_well_and_its_json_has_the_keys_of_the_schema(booked: Path) -> None:
    data = parsed(quoting_run("today", "--json", cwd=booked).stdout)
    wanted = KEYS["today"]
    assert list(data) == wanted["top"]
    assert [list(one) for one in data["pieces"]] == [wanted["pieces"]]
    for name in ("today", "waits"):
        rows = data["pieces"][0][name]
        assert rows
        assert {tuple(row) for row in rows} == {tuple(wanted[name])}
    narrow = quoting_run("today", cwd=booked, env=environment(COLUMNS="60"))
    assert narrow.returncode == 0
    assert max(map(len, narrow.stdout.splitlines())) <= 60
    assert f"quoting log {COUNTER} hours" in narrow.stdout.replace("\n", " ")


def test_a_shop_with_nothing_in_hand_says_so(book: Path) -> None:
    ran(book, "mark", COUNTER, "cancelled", "--kept", "500")
    assert "nothing in hand" in ran(book, "today")
    assert "no piece is ordered" in ran(book, "buying")


# --- one errand for several pieces

EPOXY = {1.5: Decimal("26.00"), 7.5: Decimal("19.50")}
"""Packs of the price file [L] and what a litre of each costs."""


def errand(book: Path, *names: str) -> BuyingList:
    """The list for pieces."""
    return buying(book, date(2026, 9, 22), names, None, False)


def item(found: BuyingList, name: str) -> ToBuy:
    """An item of a list."""
    return next(one for errand in found.errands for one in errand.items if one.item == name)


def cheapest(litres: float) -> Decimal:
    """The least money for so many litres, by trying all numbers of packs."""
    most = [range(ceil(litres / size) + 1) for size in EPOXY]
    sizes = list(EPOXY)
    tried = [
        counts
        for counts in product(*most)
        if sum(map(float.__mul__, map(float, counts), sizes)) >= litres - 1e-9
    ]
    return min(
        sum(Decimal(str(n * size)) * EPOXY[size] for n, size in zip(counts, sizes, strict=True))
        for counts in tried
    )


def test_packs_are_bought_for_the_sum_of_the_needs(book: Path) -> None:
    jobs = [
        str(book / "jobs" / f"{name}.toml")
        for name in ("lectern", "counter_front", "wall_shelf", "side_table")
    ]
    together, alone = errand(book, *jobs), [errand(book, job) for job in jobs]
    for one in (item(together, "laminating epoxy"), *(item(some, "laminating epoxy") for some in alone)):
        assert one.amount == cheapest(one.needed)
        assert one.needed == pytest.approx(sum(share.left for share in one.shares))
    items = {one.item for errand in together.errands for one in errand.items}
    for name in items:
        mine = item(together, name)
        apart = [
            item(some, name)
            for some in alone
            if any(name == one.item for e in some.errands for one in e.items)
        ]
        assert mine.needed == pytest.approx(sum(one.needed for one in apart))
        assert sum(share.alone for share in mine.shares) == sum(one.amount for one in apart)
    assert together.saved > 0
    assert together.amount <= sum(some.amount for some in alone)


def test_a_job_alone_is_bought_as_its_price_says(book: Path) -> None:
    job = book / "jobs" / "lectern.toml"
    priced = parsed(quoting_run("price", job, "--json").stdout)["buying"]
    found = errand(book, str(job))
    assert sum(Decimal(row["amount"]) for row in priced) == found.amount
    rows = {row["item"]: row for row in priced if row["unit"] != "order"}
    assert {one.item: (one.packs, str(one.amount)) for e in found.errands for one in e.items} == {
        name: (row["packs"], row["amount"]) for name, row in rows.items()
    }
    assert found.saved == 0


def test_what_the_log_tells_is_there_is_not_bought_again(book: Path) -> None:
    before = item(errand(book), "bag film")
    (share,) = before.shares
    assert share.had == 0
    say(book, date(2026, 9, 22), "paid", "20", of="bag film", quantity=f"{share.needed / 2} m2")
    (half,) = item(errand(book), "bag film").shares
    assert (half.left, half.had) == pytest.approx((share.needed / 2, share.needed / 2))
    say(book, date(2026, 9, 22), "paid", "20", of="bag film", quantity=f"{share.needed} m2")
    there = {one.item for e in errand(book).errands for one in e.items}
    assert "bag film" not in there
    assert "laminating epoxy" not in there, "it was bought before"


def test_an_order_that_is_large_enough_comes_free(book: Path) -> None:
    """Carriage is that of the whole errand: two small orders may be one large one."""
    job = str(book / "jobs" / "lectern.toml")
    shop = tomllib.loads((book / "shop.toml").read_text(encoding="utf-8"))["supplier"]
    for found in (errand(book), errand(book, job), errand(book, job, COUNTER)):
        for one in found.errands:
            rule = shop.get(one.supplier, {})
            order = one.amount - one.carriage
            least, cost = (Decimal(str(rule.get(name, 0))) for name in ("least_order", "carriage"))
            assert one.carriage == (cost if order < least else 0)


def test_the_list_is_written_as_rows_that_foot(book: Path) -> None:
    ran(book, "buying", COUNTER, "jobs/lectern.toml", "--out", "list")
    with (book / "list" / "buying.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    data = parsed(quoting_run("buying", COUNTER, "jobs/lectern.toml", "--json", cwd=book).stdout)
    wanted = KEYS["buying"]
    assert list(data) == wanted["top"]
    assert {tuple(one) for one in data["errands"]} == {tuple(wanted["errands"])}
    items = [one for errand in data["errands"] for one in errand["items"]]
    assert {tuple(one) for one in items} == {tuple(wanted["items"])}
    assert {tuple(share) for one in items for share in one["shares"]} == {tuple(wanted["shares"])}
    assert sum(Decimal(row["amount"]) for row in rows) == Decimal(data["amount"])
    narrow = quoting_run("buying", COUNTER, "jobs/lectern.toml", cwd=book, env=environment(COLUMNS="60"))
    assert max(map(len, narrow.stdout.splitlines())) <= 60


def test_everything_that_is_named_wrongly_is_told_at_once(book: Path) -> None:
    with pytest.raises(Problems) as wrong:
        errand(book, "2026-009", "no such thing")
    assert [one.found for one in wrong.value.problems] == [
        "found no quote 2026-009",
        'found no job "no such thing"',
    ]


# --- quotes that nobody has answered


def test_a_quote_is_told_of_a_week_before_and_a_week_after_its_last_day(book: Path) -> None:
    ran(book, "issue", "jobs/side_table.toml", "--again")
    (one,) = (
        row
        for row in parsed(quoting_run("pieces", "--all", "--json", cwd=book).stdout)["pieces"]
        if row["state"] == "awaiting answer"
    )
    shown = parsed(quoting_run("show", one["number"], "--json", cwd=book).stdout)
    with reading(book) as ledger:
        until = quotes.asked(ledger, one["number"]).face.valid_until
    lefts = (DAYS + 1, DAYS, 0, -1, -DAYS, -DAYS - 1)
    days = {left: pieces(book, until - timedelta(days=left), "", False).lapsing for left in lefts}
    assert {left: [lapse.days for lapse in found] for left, found in days.items()} == {
        DAYS + 1: [], DAYS: [DAYS], 0: [0], -1: [-1], -DAYS: [-DAYS], -DAYS - 1: [],
    }  # fmt: skip
    (lapse,) = days[0]
    assert (lapse.number, str(lapse.total)) == (one["number"], shown["price"]["total"])
    said = ran(book, "pieces", "--on", str(lapse.until - timedelta(days=2)))
    assert f"{one['number']} Side table" in said
    assert "lapses in 2 days" in said
    assert "lapsed 1 day ago" in ran(book, "pieces", "--on", str(lapse.until + timedelta(days=1)))
    data = parsed(quoting_run("pieces", "--json", "--on", str(lapse.until), cwd=book).stdout)["lapsing"]
    assert [list(row) for row in data] == [KEYS["pieces"]["lapsing"]]
    mark(book, lapse.until, one["number"], "agreed", str(lapse.until), "", "", "", "", told)
    assert pieces(book, lapse.until, "", False).lapsing == ()
