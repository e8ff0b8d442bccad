"""The review's paper and workbook: what they say is the statement, and the workbook reckons it again."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest
from documents.programs import PROGRAMS
from documents.sheets import pages_of, text_of
from review.conftest import Sample, sample
from review.reviews import build

from quoting.documents.bench.page import INTERNAL, MARGIN
from quoting.documents.review.papers import review_book_bytes, review_pdf_bytes
from quoting.review.bridge import STEPS
from quoting.review.statement import statement

if TYPE_CHECKING:
    from pathlib import Path

    from quoting.forecast.build import Build

ROUNDS: list[dict[str, Any]] = [
    {"kind": "measured", "value": f"{n * 3.5} mm", "round": str(n), "plies": str(7 * n)} for n in range(1, 6)
]
LOG: list[dict[str, Any]] = [
    *ROUNDS,
    {"kind": "hours", "value": "9 h", "task": "design"},
    {"kind": "hours", "value": "5 h", "task": "assembly", "who": "helper"},
    {"kind": "hours", "value": "6 h", "task": "laying", "part": "leaf", "round": "5"},
    {"kind": "used", "value": "6.1 L", "of": "laminating epoxy", "round": "5"},
    {"kind": "paid", "value": "170", "of": "laminating epoxy", "quantity": "6.5 L"},
    {"kind": "paid", "value": "61", "of": "white ash 8/4"},
    {"kind": "setback", "value": "a bag leaks overnight", "hours": "4 h", "cost": "33.10"},
    {"kind": "trip", "value": "20 mi", "hours": "2 h"},
    {"kind": "paid", "value": "18.40", "of": '=HYPERLINK("x")', "unplanned": True},
    {"kind": "hours", "value": "3 h", "stage": "finishing", "about": True},
]


@pytest.fixture(scope="module")
def lectern() -> Sample:
    return sample("lectern")


@pytest.fixture(scope="module")
def made(lectern: Sample) -> Build:
    return build(lectern, *LOG)


def money(text: str) -> str:
    return text.replace("\u2212", "-")


def test_the_paper_says_the_statement(made: Build) -> None:
    found = statement(made)
    data = review_pdf_bytes("2026-001", made, found)
    words = money(text_of(data))
    assert f"margin earned {'-' if found.way.actual < 0 else ''}${abs(found.way.actual):,}" in words
    for name, step in STEPS.items():
        amount = found.way.steps[name]
        assert f"{step} {'-' if amount < 0 else ''}${abs(amount):,.2f}" in words
    assert "extra bagging rounds on leaf" in words
    assert data == review_pdf_bytes("2026-001", made, found)


def test_the_paper_is_marked_and_stays_within_its_margins(made: Build) -> None:
    for page in pages_of(review_pdf_bytes("2026-001", made, statement(made))):
        assert page.extract_text().startswith(INTERNAL)
        for word in page.extract_words():
            assert word["x0"] >= MARGIN - 0.5, word["text"]
            assert word["x1"] <= page.width - MARGIN + 0.5, word["text"]
            assert word["bottom"] <= page.height - MARGIN + 1, word["text"]


@pytest.mark.parametrize("by", PROGRAMS)
def test_the_workbook_reckons_the_statement_again(made: Build, tmp_path: Path, by: str) -> None:
    """Another program reckons every formula anew: to the cent what the tool says. A name that looks like a formula is text."""
    found = statement(made)
    data = review_book_bytes("2026-001", made, found)
    cached = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    anew = PROGRAMS[by](tmp_path, {"": data})[""]
    for sheet in ("Review", "Differences"):
        for row in cached[sheet].iter_rows():
            for cell in row:
                again = anew[sheet][cell.coordinate].value
                if isinstance(cell.value, int | float):
                    assert again == pytest.approx(cell.value, abs=0.005), (sheet, cell.coordinate)
                else:
                    assert again == cell.value
    figures = {row[0].value: row[1].value for row in anew["Review"].iter_rows(min_row=4) if row[0].value}
    assert figures["margin earned"] == pytest.approx(float(found.way.actual), abs=0.005)
    for name, step in STEPS.items():
        assert figures[step] == pytest.approx(float(found.way.steps[name]), abs=0.005)
    names = [row[0].value for row in anew["Differences"].iter_rows(min_row=2)]
    assert any(str(name).startswith("=HYPERLINK") for name in names)


@pytest.mark.parametrize("by", PROGRAMS)
def test_the_workbook_follows_a_changed_amount(made: Build, tmp_path: Path, by: str) -> None:
    """Ten more on a line's actual cost are ten less of the margin earned."""
    found = statement(made)
    book = openpyxl.load_workbook(io.BytesIO(review_book_bytes("2026-001", made, found)))
    sheet = book["Differences"]
    [row] = [row for row in range(2, sheet.max_row + 1) if str(sheet[f"A{row}"].value).startswith("design")]
    sheet[f"H{row}"] = float(sheet[f"H{row}"].value) + 10
    changed = io.BytesIO()
    book.save(changed)
    anew = PROGRAMS[by](tmp_path, {"": changed.getvalue()})[""]
    figures = {r[0].value: r[1].value for r in anew["Review"].iter_rows(min_row=4) if r[0].value}
    assert figures["margin earned"] == pytest.approx(float(found.way.actual) - 10, abs=0.005)
    assert figures[STEPS["hours"]] == pytest.approx(float(found.way.steps["hours"]) - 10, abs=0.005)


def test_a_piece_without_rounds_and_without_a_log_has_papers_too(lectern: Sample) -> None:
    console = sample("ash_bench")
    for of in (lectern, console):
        none = build(of)
        found = statement(none)
        assert review_pdf_bytes("draft", none, found).startswith(b"%PDF")
        assert openpyxl.load_workbook(io.BytesIO(review_book_bytes("draft", none, found))).sheetnames == [
            "Review",
            "Differences",
        ]
