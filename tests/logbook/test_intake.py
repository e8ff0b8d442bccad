"""What a maker says is read, or refused with words that say what to write; all of it at once."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from logbook.conftest import JOBS
from logbook.logs import TODAY, entry

from quoting.errors import Problems
from quoting.job.load import load_shop
from quoting.logbook.intake import entry_of
from quoting.logbook.saying import Saying, apart
from quoting.logbook.targets import names_of_shop

if TYPE_CHECKING:
    from quoting.pricing.record import Priced


def refused(plan: Priced, kind: str, value: str = "", **more: object) -> str:
    with pytest.raises(Problems) as wrong:
        entry(plan, kind, value, **more)
    return wrong.value.said("terminal")


@pytest.mark.parametrize(
    ("said", "hours"), [("2 1/2 h", 2.5), ("150 min", 2.5), ("2.5", 2.5), ("2 h 30 min", 2.5), ("2½ h", 2.5)]
)
def test_hours_are_written_as_makers_write_them(lectern: Priced, said: str, hours: float) -> None:
    assert entry(lectern, "hours", said, task="assembly").amount == hours


@pytest.mark.parametrize(
    ("said", "litres"), [("4.2 L", 4.2), ("4200 mL", 4.2), ("1 gal", 3.785411784), ("4.2 l", 4.2)]
)
def test_quantities_come_in_the_unit_of_their_line(lectern: Priced, said: str, litres: float) -> None:
    """1 US gallon = 231 cubic inches = 3.785411784 L (NIST SP 811, appendix B.8)."""
    found = entry(lectern, "used", said, of="laminating epoxy")
    assert found.amount == pytest.approx(litres, rel=1e-12)
    assert (found.unit, found.line, found.said) == ("L", "laminate.leaf.resin", said)


def test_timber_is_logged_in_any_measure_of_volume(lectern: Priced) -> None:
    """A board foot is 144 cubic inches; 0.01 m3 are 4.2378 bd ft (NIST Handbook 44, from memory)."""
    found = entry(lectern, "used", "0.01 m3", of="white ash 8/4")
    assert found.amount == pytest.approx(4.237760, abs=1e-5)
    assert found.unit == "bd ft"


@pytest.mark.parametrize(
    ("text", "quantity", "item"),
    [
        ("4.2 L laminating epoxy", "4.2 L", "laminating epoxy"),
        ("laminating epoxy 4.2 L", "4.2 L", "laminating epoxy"),
        ("4.2 L of Laminating Epoxy", "4.2 L", "laminating epoxy"),
        ("3 mixing cup", "3", "mixing cup"),
        ("2 1/2 bd ft white ash 8/4", "2 1/2 bd ft", "white ash 8/4"),
        ("2 L varnish", "2 L", "varnish"),
    ],
)
def test_quantity_and_item_may_stand_in_one_text(text: str, quantity: str, item: str) -> None:
    assert apart(text, ["laminating epoxy", "mixing cup", "white ash 8/4", "epoxy"]) == (quantity, item)


def test_a_task_a_part_a_stage_or_a_line_say_where_hours_went(lectern: Priced) -> None:
    assert entry(lectern, "hours", "1 h", task="bag setup").line == "laminate.leaf.bag-setup"
    assert entry(lectern, "hours", "1 h", task="Sanding", part="FOOT").line == "hardwood.foot.sanding"
    assert entry(lectern, "hours", "1 h", task="sanding").task == "sanding"
    assert entry(lectern, "hours", "1 h", stage="bench").stage == "bench"
    assert entry(lectern, "hours", "1 h", stage="oiling").line == "finish.oil.oiling"
    assert entry(lectern, "hours", "1 h", line="standard.design.hours").line == "standard.design.hours"
    assert (
        entry(lectern, "setback", "A bag leaks overnight", hours="1 h").line
        == "setback.a-bag-leaks-overnight"
    )


def test_what_it_was_may_follow_the_amount(lectern: Priced) -> None:
    """`hours 3 sanding`, `used "4 L" "laminating epoxy"`, `paid 45 "white ash 8/4"`, `received 9 Deposit`, `done design`."""
    assert entry(lectern, "hours", "3", what="bench").stage == "bench"
    assert entry(lectern, "hours", "3", what="sanding", part="foot").line == "hardwood.foot.sanding"
    assert entry(lectern, "used", "4 L", what="laminating epoxy").line == "laminate.leaf.resin"
    assert entry(lectern, "paid", "45", what="hard wax oil").line == "finish.oil.product"
    assert entry(lectern, "received", "9", what="Deposit").stage == "Deposit"
    assert (
        entry(lectern, "machine", "1 h", what="flatten 1 machine").line == "laminate.leaf.flatten-1-machine"
    )
    assert entry(lectern, "done", "design").line == "standard.design.hours"
    assert "write it once" in refused(lectern, "used", "4 L", what="hard wax oil", of="laminating epoxy")


def test_a_trip_elsewhere_is_not_the_delivery(lectern: Priced) -> None:
    assert entry(lectern, "trip", "18 mi").line == "delivery.trip.carried"
    assert entry(lectern, "trip", "18 mi", what="timber yard").line == ""


def test_who_worked_is_whom_the_plan_names(lectern: Priced) -> None:
    assert entry(lectern, "hours", "1 h", task="assembly").who == "owner"
    assert entry(lectern, "hours", "1 h", task="assembly", who="helper").who == "helper"


def test_measurements_are_kept_in_mm_kpa_and_celsius(lectern: Priced) -> None:
    thick = entry(lectern, "measured", "3/8 in", round="2", plies="18")
    assert (thick.amount, thick.unit, thick.round, thick.plies, thick.part) == (9.525, "mm", 2, 18, "leaf")
    vacuum = entry(lectern, "vacuum", "24 inHg", round="2")
    assert vacuum.amount == pytest.approx(81.273336, abs=1e-6)  # 3,386.389 Pa each (NIST SP 811)
    assert entry(lectern, "temperature", "68 F").amount == pytest.approx(20.0)
    assert entry(lectern, "temperature", "-4 °C").amount == -4


def test_days_are_said_in_words_or_figures(lectern: Priced) -> None:
    assert entry(lectern, "note", "x").day == TODAY
    assert entry(lectern, "note", "x", on="yesterday").day == date(2026, 5, 31)
    assert entry(lectern, "note", "x", on="2026-02-03").day == date(2026, 2, 3)


@pytest.mark.parametrize(
    ("kind", "value", "more", "words"),
    [
        ("hurs", "1 h", {}, 'found "hurs"; write "hours"'),
        ("hours", "2.5 L", {"task": "design"}, "is a volume"),
        ("hours", "30 h", {"task": "design"}, "more than a day has"),
        ("hours", "0 h", {"task": "design"}, "write a time"),
        ("hours", "-2 h", {"task": "design"}, '"-2 h"'),
        ("hours", "1e9", {"task": "design"}, '"1e9'),
        ("hours", "1 h", {"task": "dezign"}, 'write "design"'),
        ("hours", "1 h", {"task": "sanding", "part": "foof"}, 'write "foot"'),
        ("hours", "1 h", {"task": "oiling", "part": "foot"}, 'found "oiling" on "foot"'),
        ("hours", "1 h", {}, "neither task nor stage"),
        ("hours", "1 h", {"stage": "bensh"}, 'write "bench"'),
        ("hours", "1 h", {"line": "hardwood.foot.sandin"}, 'write "hardwood.foot.sanding"'),
        ("hours", "1 h", {"task": "design", "who": "hepler"}, 'write "helper"'),
        ("hours", "1 h", {"task": "design", "on": "2026-06-02"}, "still to come"),
        ("hours", "1 h", {"task": "design", "on": "02/06/2026"}, "write a day such as"),
        ("hours", "1 h", {"task": "design", "round": "0"}, "whole number from 1"),
        ("used", "2 kg", {"of": "laminating epoxy"}, "is a mass"),
        ("used", "2", {"of": "laminating epoxy"}, "without a unit"),
        ("used", "2,5 L", {"of": "laminating epoxy"}, '"2,5 L"'),
        ("used", "2 L", {"of": "laminating epoxi"}, 'write "laminating epoxy"'),
        ("used", "2 L polish", {}, 'found "polish"'),
        ("used", "2 L", {}, "found nothing"),
        ("paid", "72.505", {"of": "white ash 8/4"}, "at most 2 decimals"),
        ("paid", "$72", {"of": "white ash 8/4"}, "without its currency"),
        ("paid", "0", {"of": "white ash 8/4"}, "above zero"),
        ("paid", "1e5", {"of": "white ash 8/4"}, '"1e5"'),
        ("paid", "12", {"of": "screws"}, "--unplanned"),
        ("paid", "12", {"of": "white ash 8/4", "quantity": "3 kg"}, "is a mass"),
        ("measured", "9 mm", {}, "how many plies"),
        ("measured", "9 kg", {"plies": "6"}, "is a mass"),
        ("measured", "9 mm", {"plies": "6", "part": "slope"}, 'write one of: leaf'),
        ("vacuum", "9 mm", {}, "is a length"),
        ("temperature", "19", {}, '"19 C"'),
        ("temperature", "900 C", {}, "which no workshop has"),
        ("setback", "", {"hours": "1 h"}, "write what happened"),
        ("setback", "it rained", {}, "neither hours nor cost"),
        ("trip", "3 h", {}, "is a time"),
        ("paid", "2,091.52", {"of": "white ash 8/4"}, "with a comma in it"),
        ("received", "100", {"of": "Depozit"}, 'write "Deposit"'),
        ("received", "abc", {}, "without its currency"),
        ("note", " ", {}, "write the note"),
        ("machine", "1 h", {"task": "x", "unplanned": True}, "router"),
        ("machine", "2 h", {"stage": "bench"}, "flatten-1-machine"),
        ("done", "", {"part": "lef"}, 'write "leaf"'),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_in_words(
    lectern: Priced, kind: str, value: str, more: dict[str, object], words: str
) -> None:
    assert words in refused(lectern, kind, value, **more)


def test_everything_wrong_is_told_at_once(lectern: Priced) -> None:
    words = refused(lectern, "hours", "2 L", task="dezign", who="nobody", on="tomorrow", round="x")
    assert len(words.splitlines()) == 5


def test_the_shop_takes_its_own_hours_and_bills() -> None:
    known = names_of_shop(load_shop(JOBS.parent), 2)
    hours = entry_of(Saying(kind="hours", value="1 h", stage="sharpening"), known, TODAY, None, None)
    assert (hours.task, hours.piece, hours.who) == ("sharpening", None, "owner")
    rent = entry_of(Saying(kind="paid", value="800", of="workshop_rent"), known, TODAY, None, None)
    assert (rent.item, rent.money) == ("workshop_rent", Decimal(800))
    for kind, more, words in (
        ("used", {"value": "1 L"}, "write one of: hours"),
        ("paid", {"value": "8", "of": "rent"}, "workshop_rent"),
        ("hours", {"value": "1 h"}, "what was done"),
    ):
        with pytest.raises(Problems, match=words):
            entry_of(Saying(kind=kind, **more), known, TODAY, None, None)
