"""A maker plays with the workbook: what its cells then show is what the command finds for the same values."""

from __future__ import annotations

import io
import random
import re
from typing import TYPE_CHECKING, Any, NamedTuple

import openpyxl
import pytest
from documents.programs import PROGRAMS
from documents.workbooks import CASES, ROOT, TAXED, briefed, case_of, cell_of, differences

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from documents.workbooks import Case

CHANGES, SOME = 200, 48  # three a workbook; some are enough for every job once
SEED = 20270301
EVERY = {"LibreOffice": 1, "Gnumeric": 5}  # a fifth of the books is a few changes of most jobs
SAMPLES = sorted((ROOT / "sample_jobs").glob("*/jobs/*.toml"))
SHOPS = {
    "plain": (),
    "taxed, far, by piece": (
        *TAXED,
        "tax.shown=included",
        "delivery.road_distance=60 mi",
        "piece.quantity=3",
    ),
    "gross purchases": (
        *TAXED,
        "tax.purchases=gross",
        "tax.reclaim=true",
        "delivery.straight_distance=12 mi",
    ),
    "gallery": CASES["gallery"],
    "drawn": CASES["drawn reserve"],
    "drawn, taxed": (*CASES["drawn reserve"], *TAXED, "tax.purchases=gross", "tax.reclaim=true"),
    "slow": ("pace.factor=0.9 .. 1.2 .. 1.5", "price.discount=4 %"),
}
NAMED = {
    "margin_wanted": "pricing.margin",
    "tax_rate": "tax.rate",
    "floor_margin": "pricing.floor_margin",
    "reserve_share": "price.reserve",
    "least_price": "pricing.least_price",
    "round_to": "pricing.round_to",
    "discount_share": "price.discount",
}


class Knob(NamedTuple):
    """A cell that may be changed, and how --set writes the same."""

    sheet: str
    at: str
    path: str
    value: float
    unit: str
    least: float
    most: float


BOUND = re.compile(r"[A-Z]+\d+(>=|<=)([\d.E+-]+)")


def bounds(sheet: Any, at: str) -> tuple[float, float]:
    """What a cell takes, as its rule says."""
    for rule in sheet.data_validations.dataValidation:
        if at in rule.sqref and rule.type == "decimal":
            return float(rule.formula1), float(rule.formula2 or "inf")
        if at in rule.sqref and rule.type == "custom":
            found = dict(BOUND.findall(rule.formula1))
            return float(found.get(">=", "-inf")), float(found.get("<=", "inf"))
    raise AssertionError(f"{sheet.title} {at} takes anything")


def knobs(book: Any, one: Case) -> Iterator[Knob]:
    """Every open cell of a workbook, with the path that stands beside it."""
    for sheet in book.worksheets:
        for row in range(1, sheet.max_row + 1):
            where = sheet[f"H{row}"].value
            if sheet[f"B{row}"].protection.locked or not re.fullmatch(
                r".+ \((job file|shop file|price file)\)", str(where)
            ):
                continue
            unit = str(sheet[f"C{row}"].value or "").removeprefix(one.priced.currency).strip()
            path = where.rpartition(" (")[0]
            yield Knob(
                sheet.title,
                f"B{row}",
                path,
                sheet[f"B{row}"].value,
                "" if unit.startswith("a ") else unit,
                *bounds(sheet, f"B{row}"),
            )
    for name, path in NAMED.items():
        if name in book.defined_names:
            cell = cell_of(book, name)
            if not cell.protection.locked:
                yield Knob(
                    "Price",
                    cell.coordinate,
                    path,
                    cell.value,
                    "%" if cell.number_format.endswith("%") else "",
                    *bounds(cell.parent, cell.coordinate),
                )
    yield from own_hours(book, one)


def own_hours(book: Any, one: Case) -> Iterator[Knob]:
    """The cells for hours of the maker's own, found from the lines that take them over."""
    lines, labour = book["Lines"], book["Labour"]
    for row, line in enumerate(one.priced.lines, start=2):
        found = re.fullmatch(r"=Labour!\$([A-Z]+)\$(\d+)", str(lines[f"E{row}"].value))
        trade, _, rest = line.id.partition(".")
        part, _, operation = rest.rpartition(".")
        if not found:
            continue
        before = openpyxl.utils.get_column_letter(openpyxl.utils.column_index_from_string(found[1]) - 1)
        if not labour[f"{before}{found[2]}"].protection.locked:
            path = f"{trade}.{part}.standard.{operation}"
            at = f"{before}{found[2]}"
            yield Knob("Labour", at, path, line.quantity, "own h", *bounds(labour, at))


def turned(knob: Knob, dice: random.Random, one: Case) -> tuple[float, str]:
    """A new value of a cell, and the text of --set that says the same."""
    value = (
        knob.value * dice.choice((0.5, 0.8, 1.13, 1.37, 2.0))
        if knob.value
        else dice.choice((0.0, 0.07, 0.031))
    )
    if dice.random() < 0.03 and knob.unit in ("h", "min", "own h", ""):
        value = 0.0
    value = min(max(value, knob.least), knob.most)
    if knob.path in ("pricing.margin", "price.discount", "pricing.floor_margin", "tax.rate"):
        value = min(value, 0.4)
    if knob.path == "pricing.round_to":
        value = dice.choice((0.01, 0.5, 5.0, 12.5, 25.0)) * (100 if one.priced.digits == 0 else 1)
    value = float(f"{value:.6g}")
    if knob.unit == "own h":
        return value, f"{knob.path}={value / one.priced.job.piece.quantity!r} h"
    return (
        value,
        f"{knob.path}={value * 100!r} %" if knob.unit == "%" else f"{knob.path}={value!r} {knob.unit}",
    )


def moves_reserve(knob: Knob, one: Case) -> bool:
    """True for a cell that opens only while the reserve is a share, and for that share itself."""
    return knob.path in one.plan.guarded or knob.unit == "own h" or knob.path == "price.reserve"


def typed(knobs_turned: list[tuple[Knob, float]], data: bytes, by_share: bool = False) -> bytes:
    book: Any = openpyxl.load_workbook(io.BytesIO(data))
    for knob, value in knobs_turned:
        cell = book[knob.sheet][knob.at]
        assert not cell.protection.locked
        cell.value = value
    if by_share:
        cell_of(book, "reserve_by").value = "share"
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Path, tuple[str, ...]]]:
    folder = tmp_path_factory.mktemp("played")
    for name, settings in SHOPS.items():
        briefed(folder / name, settings)
    made = {name: (folder / name / "job.toml", settings) for name, settings in SHOPS.items()}
    return made | {path.stem: (path, ()) for path in SAMPLES}


@pytest.mark.parametrize("changes", [SOME, pytest.param(CHANGES, marks=pytest.mark.exhaustive)])
def test_changed_cells_show_what_the_command_finds(
    jobs: dict[str, tuple[Path, tuple[str, ...]]], tmp_path: Path, changes: int
) -> None:
    """Random changes of open cells, in samples and other jobs: every figure equals the engine's, to the cent.

    One program reckons all of them, another some.
    """
    dice = random.Random(SEED)
    books: dict[str, bytes] = {}
    wanted: dict[str, Case] = {}
    turned_paths: list[str] = []
    before = {name: case_of(path, settings) for name, (path, settings) in jobs.items()}
    data = {name: one.book() for name, one in before.items()}
    loaded = {name: openpyxl.load_workbook(io.BytesIO(raw)) for name, raw in data.items()}
    found = {name: [*knobs(loaded[name], one)] for name, one in before.items()}
    pools = {name: sorted({knob.path.partition(".")[0] for knob in those}) for name, those in found.items()}
    while len(turned_paths) < changes:
        name = list(jobs)[len(books) % len(jobs)]
        path, settings = jobs[name]
        chosen: dict[str, Knob] = {}
        while len(chosen) < 3:
            section = dice.choice(pools[name])  # each section alike, however many of its cells are open
            knob = dice.choice([one for one in found[name] if one.path.startswith(f"{section}.")])
            chosen.setdefault(knob.path, knob)
        values = {knob: turned(knob, dice, before[name]) for knob in chosen.values()}
        tried = [*settings, *(text for _, text in values.values())]
        drawn = "reserve_by" in loaded[name].defined_names
        by_share = drawn and any(moves_reserve(knob, before[name]) for knob in chosen.values())
        if by_share and "price.reserve" not in chosen:
            share = cell_of(loaded[name], "reserve_share").value
            tried.append(f"price.reserve={share * 100!r} %")
        label = f"{len(books)}: {name} {tried[len(settings) :]}"
        wanted[label] = case_of(path, tried)
        books[label] = typed([(knob, value) for knob, (value, _) in values.items()], data[name], by_share)
        turned_paths += chosen
    for by, recalculated in PROGRAMS.items():
        again = recalculated(tmp_path / by, dict([*books.items()][:: EVERY[by]]))
        wrong = {
            label: off for label, book in again.items() if (off := differences(book, wanted[label].priced))
        }
        assert (by, wrong) == (by, {})
    assert {"pay", "prices", "timber", "standard", "delivery", "pricing", "overhead"} <= {
        path.partition(".")[0] for path in turned_paths
    }


def test_choices_change_as_the_command_does(tmp_path: Path) -> None:
    """Tax shown or added, on delivery or not, fees and shares of payments: as the command with the same rules."""
    far = (*TAXED, "delivery.road_distance=60 mi")
    payments = 'terms.payments=[{name="a",share="37 %"},{name="b",share="29.5 %"},{name="c",share="33.5 %"}]'
    cases: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
        "tax shown": (far, (*far, "tax.shown=included")),
        "trip untaxed": (far, (*far, "tax.tax_the_trip=false")),
        "fee": (CASES["gallery"], (*CASES["gallery"], "fee.gallery.share=28 %")),
        "kept back": (CASES["gallery"], (*CASES["gallery"], "pricing.after_sale=3.3 %")),
        "payments": ((), (payments,)),
        "amount off": (CASES["discount amount"], (*CASES["discount amount"][1:], "price.discount=120.5")),
    }
    books, wanted = {}, {}
    for number, (name, (first, then)) in enumerate(cases.items()):
        one = briefed(tmp_path / str(number), first)
        wanted[name] = briefed(tmp_path / str(number), then)
        book: Any = openpyxl.load_workbook(io.BytesIO(one.book()))
        price = book["Price"]
        rows = {price[f"A{row}"].value: row for row in range(1, 120)}
        if name == "payments":
            for row, share in enumerate((0.37, 0.295, 0.335), start=rows["Payment"] + 1):
                price[f"E{row}"].value = share
        named = {"tax shown": ("tax_shown", "included"), "trip untaxed": ("tax_the_trip", "no")}
        if name in named:
            cell_of(book, named[name][0]).value = named[name][1]
        if name == "amount off":
            cell_of(book, "discount_amount").value = 120.5
        if name == "fee":
            price[f"C{rows['gallery']}"].value = 0.28
        if name == "kept back":
            price[f"C{rows['kept for mending and returns']}"].value = 0.033
        saved = io.BytesIO()
        book.save(saved)
        books[name] = saved.getvalue()
    for by, recalculated in PROGRAMS.items():
        again = recalculated(tmp_path / by, books)
        wrong = {name: off for name, one in wanted.items() if (off := differences(again[name], one.priced))}
        assert (by, wrong) == (by, {})


@pytest.mark.parametrize("by", PROGRAMS)
def test_a_drawn_reserve_says_when_it_no_longer_fits(tmp_path: Path, by: str) -> None:
    """An input that moves a drawn reserve, changed all the same, is told on the first sheet."""
    one = briefed(tmp_path / "shop", CASES["drawn reserve"])
    data = one.book()
    book: Any = openpyxl.load_workbook(io.BytesIO(data))
    knob = next(one for one in knobs(book, one) if one.path in ("pay.owner.earn_a_year",))
    book[knob.sheet][knob.at].value = knob.value * 1.5
    saved = io.BytesIO()
    book.save(saved)
    again = PROGRAMS[by](tmp_path, {"before": data, "after": saved.getvalue()})
    assert cell_of(again["before"], "reserve_fits").value == "fits"
    assert cell_of(again["after"], "reserve_fits").value == "choose share, or run again"
    assert cell_of(again["after"], "inputs_changed").value == 1
