"""The workbook to the eye and the hand: text stays text, inputs are open, sheets print."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest
from documents.workbooks import CASES, briefed, cell_of, recalculated

from quoting.documents.workbook.workbook import workbook_bytes

if TYPE_CHECKING:
    from pathlib import Path

    from documents.workbooks import Case


@pytest.fixture(scope="module")
def cases(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Case]:
    folder = tmp_path_factory.mktemp("cases")
    return {name: briefed(folder / "shop", CASES[name]) for name in ("plain", "gallery", "drawn reserve")}


HOSTILE = (
    "=1+1",
    "+cmd",
    "-2+3",
    "@x",
    "\t=1",
    "#N/A",
    "a\x00\x07b\x1f",
    "\ud800\uffff",
    "w" * 40_000,
    "TRUE",
    "1e5",
)


def test_texts_of_anybody_stay_text(cases: dict[str, Case], tmp_path: Path) -> None:
    """What looks like a formula stays text; what no cell can hold is left out; too much is cut."""
    plain, plan = cases["plain"]
    lines = tuple(
        line._replace(
            part=text, item=line.item if line.trade in ("labour", "setback", "machine") else text, basis=text
        )
        for line, text in zip(plain.lines, HOSTILE * len(plain.lines), strict=False)
    )
    piece = replace(plain.job.piece, title="=1+1")
    one = replace(
        plain,
        lines=lines,
        job=replace(plain.job, piece=piece, client=replace(plain.job.client, name="@x")),
        buying=tuple(line._replace(item="=HYPERLINK(1)", supplier="+cmd") for line in plain.buying),
    )
    data = workbook_bytes(one, plan)
    made: Any = openpyxl.load_workbook(io.BytesIO(data))
    formulas = [
        cell.value
        for row in made["Lines"].iter_rows(min_col=1, max_col=2)
        for cell in row
        if cell.value is not None and cell.data_type != "s"
    ]
    assert formulas == []
    assert made["Price"]["B2"].data_type == made["Buying"]["A2"].data_type == "s"
    assert made["Price"]["B2"].quotePrefix
    book = recalculated(tmp_path, {"hostile": data})["hostile"]
    kept = [book["Lines"][f"A{2 + i}"].value for i in range(len(HOSTILE))]
    assert kept[:7] == ["=1+1", "+cmd", "-2+3", "@x", "\t=1", "#N/A", "ab"]
    assert kept[7] in (None, "")
    assert kept[8] == "w" * 32_767
    assert kept[9:] == ["TRUE", "1e5"]
    assert (book["Price"]["B2"].value, book["Price"]["B3"].value) == ("=1+1", "@x")
    assert cell_of(book, "total_price").value == pytest.approx(float(one.chain.total))


def test_same_job_same_bytes(cases: dict[str, Case], tmp_path: Path) -> None:
    """Two runs of one job write the same bytes, dated as the quote and not as the clock."""
    data = cases["gallery"].book()
    assert data == briefed(tmp_path, CASES["gallery"]).book()
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        core = archive.read("docProps/core.xml").decode()
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert re.findall(r">([^<]*)</dcterms", core) == ["2027-03-01T00:00:00Z"] * 2


def test_not_a_number_is_never_written(cases: dict[str, Case]) -> None:
    """NaN and infinity raise: a spreadsheet could not open the file."""
    one, plan = cases["plain"]
    lines = (one.lines[0]._replace(quantity=float("nan")), *one.lines[1:])
    with pytest.raises(ValueError, match="cannot stand in cell"):
        workbook_bytes(replace(one, lines=lines), plan)


def test_only_inputs_are_unlocked(cases: dict[str, Case]) -> None:
    """Sheets are protected without a password; what is unlocked has the input colour and is no formula."""
    book = openpyxl.load_workbook(io.BytesIO(cases["plain"].book()))
    for sheet in book.worksheets:
        assert sheet.protection.sheet
        assert not sheet.protection.password
        for cell in (
            cell
            for row in sheet.iter_rows()
            for cell in row
            if not isinstance(cell, openpyxl.cell.MergedCell)
        ):
            if not cell.protection.locked:
                assert cell.fill.fgColor.rgb == "00FFF2CC", (sheet.title, cell.coordinate)
                assert cell.data_type != "f"


def test_pages_print_as_wide_as_the_paper(cases: dict[str, Case]) -> None:
    """Sheets fit the width of the shop's paper, A4 or Letter; they repeat their title or header and keep it on screen."""
    book = openpyxl.load_workbook(io.BytesIO(cases["plain"].book()))
    names = ["Price", "Lines", "Hardwood", "Laminate", "Finish", "Glass", "Bought", "Labour", "Machines"]
    assert book.sheetnames == [*names, "Buying", "Prices", "Rates", "Steps"]
    for sheet in book.worksheets:
        assert (sheet.page_setup.paperSize, sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (
            1,
            1,
            0,
        )
        if sheet.title != "Price":
            assert sheet.freeze_panes == "A2"
            assert sheet.print_title_rows == ("$1:$3" if sheet.title == "Prices" else "$1:$1")
    assert book["Lines"].page_setup.orientation == "landscape"
    one, plan = cases["plain"]
    house = replace(one.shop.shop, paper="A4")
    paper = openpyxl.load_workbook(
        io.BytesIO(workbook_bytes(replace(one, shop=replace(one.shop, shop=house)), plan))
    )
    assert {sheet.page_setup.paperSize for sheet in paper.worksheets} == {9}


def test_marks_and_pictures_are_there(cases: dict[str, Case]) -> None:
    """A native chart of the cost; conditional marks for the floor, for old prices, and for a reserve that no longer fits."""
    with zipfile.ZipFile(io.BytesIO(cases["drawn reserve"].book())) as archive:
        assert any(name.startswith("xl/charts/chart") for name in archive.namelist())
    book = openpyxl.load_workbook(io.BytesIO(cases["drawn reserve"].book()))
    marks = {
        sheet.title: [rule.formula[0] for area in sheet.conditional_formatting for rule in area.rules]
        for sheet in book.worksheets
    }
    assert any("below the floor" in formula for formula in marks["Price"])
    assert any("run again" in formula for formula in marks["Price"])
    assert any("old price" in formula for formula in marks["Prices"])
    assert any("reserve_by" in formula for formula in marks["Labour"])


def test_the_verdict_is_read_whole(cases: dict[str, Case]) -> None:
    """The words on the floor fit their column: "not" must not be cut off."""
    book = openpyxl.load_workbook(io.BytesIO(cases["plain"].book()), data_only=True)["Price"]
    verdicts = [cell for row in book.iter_rows() for cell in row if cell.value == "not below the floor"]
    assert len(verdicts) == 2
    for cell in verdicts:
        assert book.column_dimensions[cell.column_letter].width >= 0.85 * len(cell.value)


def test_cells_refuse_what_files_refuse(cases: dict[str, Case]) -> None:
    """A distance ends at the furthest, a divisor is above zero, a machine fetches no more than it cost."""
    one = cases["gallery"]
    book = openpyxl.load_workbook(io.BytesIO(one.book()))
    limits = {}
    for sheet in book.worksheets:
        paths = {
            f"B{row}": str(sheet[f"H{row}"].value).rpartition(" (")[0] for row in range(1, sheet.max_row + 1)
        }
        for rule in sheet.data_validations.dataValidation:
            for area in rule.sqref.ranges:
                for row in range(area.min_row, area.max_row + 1):
                    limits[paths.get(f"B{row}")] = (rule.formula1, rule.formula2)
    furthest = one.priced.shop.delivery.furthest / 1609.344
    assert float(limits["delivery.road_distance"][1]) == pytest.approx(furthest)
    assert float(limits["pay.owner.sold_hours"][0]) > 0
    assert float(limits["machine.router.resale"][1]) == one.priced.shop.machine["router"].price
