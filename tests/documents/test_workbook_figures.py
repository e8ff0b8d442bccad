"""The workbook: other programs recalculate it and reach the engine's figures, to the last digit."""

from __future__ import annotations

import io
import zipfile
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, NamedTuple

import openpyxl
import pytest
from documents.programs import PROGRAMS
from documents.workbooks import (
    CASES,
    CORRECTED,
    ROOT,
    briefed,
    case_of,
    cell_of,
    differences,
    given_books,
    reckoned,
)
from sharing import once

from quoting.documents.workbook.steps import CHOSEN

if TYPE_CHECKING:
    from documents.workbooks import Case


SAMPLES = {
    f"sample {path.parts[-3]} {path.stem}": path
    for path in sorted((ROOT / "sample_jobs").glob("*/jobs/*.toml"))
}
ALL = (*CASES, *SAMPLES)


@cache
def case(name: str) -> Case:
    """A case as it is priced, reckoned once a worker, where a test asks for it."""
    if name in SAMPLES:
        return case_of(SAMPLES[name])
    with TemporaryDirectory() as folder:
        return briefed(Path(folder), CASES[name])


SOME = (*SAMPLES, *CORRECTED)
RUNS = [
    *(pytest.param((by, SOME), id=f"{by}, some") for by in PROGRAMS),
    *(pytest.param((by, ALL), id=by, marks=pytest.mark.exhaustive) for by in PROGRAMS),
]
"""Which program reckons which workbooks: both reckon samples and corrected prices every day, every case where all is tried."""


class Office(NamedTuple):
    """Workbooks by name, in the order in which they lie in a folder beside what a program made of them."""

    names: tuple[str, ...]
    folder: Path


@pytest.fixture(scope="module", params=RUNS)
def office(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Office:
    """What a program makes of workbooks, once for all workers."""
    by, names = request.param

    def make(folder: Path) -> None:
        PROGRAMS[by](folder, {name: case(name).book() for name in names})

    return Office(names, once(tmp_path_factory, f"recalculated by {by}, {len(names)}", make))


@pytest.fixture(scope="module")
def recalculated_cases(office: Office) -> dict[str, Any]:
    return reckoned(office.folder, office.names)


def test_recalculation_reaches_the_engine(recalculated_cases: dict[str, Any]) -> None:
    """Every figure, line and payment that another program reckons equals the engine's."""
    wrong = {
        name: found
        for name, book in recalculated_cases.items()
        if (found := differences(book, case(name).priced))
    }
    assert wrong == {}


def test_cases_reach_what_they_are_for() -> None:
    """The cases really hold a least price that rules, a surcharge, a correction, drawn reserve and gifts."""
    assert case("least price").priced.chain.ruled_by == "least price"
    assert case("tax added, trip untaxed").priced.chain.surcharge > 0
    assert case("below the floor").priced.policies_broken[0] == "below_floor"
    assert case("drawn reserve").priced.cost["reserve"] > 0
    assert {"given", "client", "bought"} <= {line.supplied for line in case("plain").priced.lines}
    assert any(line.id.endswith(".packs") for line in case("whole packs").priced.lines)
    assert "channel" in case("gallery").priced.groups
    assert {case(name).priced.digits for name in ("yen", "dinar", "plain")} == {0, 2, 3}


def test_correction_of_the_list_price_is_met(recalculated_cases: dict[str, Any]) -> None:
    """Some case takes a later try than the first, so that the correction is tested."""
    assert max(recalculated_cases[name]["Steps"][f"D{CHOSEN}"].value for name in CORRECTED) > 1


def test_values_are_there_without_recalculation(office: Office, recalculated_cases: dict[str, Any]) -> None:
    """A program that does not reckon sees the same value in every cell as one that does."""
    for name, data in given_books(office.folder, office.names).items():
        kept = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
        written = openpyxl.load_workbook(io.BytesIO(data))
        for sheet in kept.worksheets:
            for row in sheet.iter_rows():
                for cell in row:
                    again = recalculated_cases[name][sheet.title][cell.coordinate].value
                    where = (name, sheet.title, cell.coordinate)
                    if written[sheet.title][cell.coordinate].data_type == "f":
                        assert cell.value is not None or again in (None, ""), where
                    if isinstance(cell.value, int | float):
                        assert again == pytest.approx(cell.value, rel=1e-9, abs=1e-6), where
                    elif cell.data_type == "s" and cell.value:
                        assert again == cell.value, where


def test_no_formula_outgrows_its_cell() -> None:
    """Forty rounds of a laminate make no long formula: 8,192 characters are the limit of a cell."""
    for name in ("many rounds", "envelope", "sample tern_hollow library_console"):
        book = openpyxl.load_workbook(io.BytesIO(case(name).book()))
        formulas = [
            cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"
        ]
        assert max(map(len, formulas)) < 3000, name


def test_one_item_from_two_suppliers_stands_twice(tmp_path: Path) -> None:
    """The buying list names each supplier with its own lead time."""
    lamps = "".join(
        f'[[buy]]\nid = "{who}"\nitem = "lamp"\nquantity = 1\nprice = 9\nsupplier = "{who}"\nlead = "{weeks} weeks"\n'
        for who, weeks in (("Alpha", 1), ("Beta", 6))
    )
    briefed(tmp_path)
    (tmp_path / "job.toml").write_text((tmp_path / "job.toml").read_text() + lamps, encoding="utf-8")
    book = openpyxl.load_workbook(io.BytesIO(case_of(tmp_path / "job.toml").book()))["Buying"]
    found = {
        book[f"G{row}"].value: book[f"H{row}"].value
        for row in range(2, 40)
        if book[f"A{row}"].value == "lamp"
    }
    assert found == {"Alpha": 7, "Beta": 42}


@pytest.mark.parametrize("by", PROGRAMS)
def test_a_wrong_formula_is_found(tmp_path: Path, by: str) -> None:
    """The comparison bites: a wrong formula shows, and a wrong value beside a right formula is reckoned anew."""
    one = case("tax included")
    book: Any = openpyxl.load_workbook(io.BytesIO(one.book()))
    cell_of(book, "tax_amount").value = "=ROUND(goods*tax_rate,2)+0.01"
    saved = io.BytesIO()
    book.save(saved)
    cached = io.BytesIO()
    total = f"<v>{float(one.priced.chain.total)!r}</v>"
    with zipfile.ZipFile(io.BytesIO(one.book())) as old, zipfile.ZipFile(cached, "w") as new:
        for name in old.namelist():
            text = old.read(name).decode()
            new.writestr(name, text.replace(total, "<v>999</v>") if name.endswith("sheet1.xml") else text)
    untouched = openpyxl.load_workbook(cached, data_only=True)
    books = PROGRAMS[by](tmp_path, {"formula": saved.getvalue(), "value": cached.getvalue()})
    assert any(line.startswith("tax_amount") for line in differences(books["formula"], one.priced))
    assert any(line.startswith("total_price: 999") for line in differences(untouched, one.priced))
    assert differences(books["value"], one.priced) == []
