"""The sheet "Selling": reckoned anew by other programs, it shows what the engine finds, also after changes on the sheet Price."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest
from documents.programs import PROGRAMS
from documents.workbooks import DAY, TAXED, WORDING, briefed, cell_of

from quoting.documents.workbook.workbook import workbook_bytes
from quoting.formulas.plan import live_plan
from quoting.job.load import load
from quoting.pricing.channels import channels_of
from quoting.pricing.price import priced

if TYPE_CHECKING:
    from pathlib import Path

    from quoting.pricing.channels import Selling

SHOPS = {
    "plain": (),
    "tax added": TAXED,
    "tax included": (*TAXED, "tax.shown=included", "pricing.round_to=0.01"),
    "yen": ("shop.currency=JPY", *TAXED, "tax.shown=included"),
    "a rate of its own": (*TAXED, "channel.direct.tax=5 %"),
    "least price": ("pricing.least_price=20000",),
    "nothing left": ("fee.gallery.share=80 %",),
}
CHANGED = {"margin_wanted": 0.37, "floor_margin": 0.04, "round_to": 25, "least_price": 900}
TRIED = ("pricing.margin=37 %", "pricing.floor_margin=4 %", "pricing.round_to=25", "pricing.least_price=900")
LABELS = {
    "List price, as you show prices": lambda one: one.list_price.seen,
    "Price at the floor": lambda one: one.floor_price.seen,
    "Fees of the list price": lambda one: one.list_price.fees,
    "Reaches your hand": lambda one: one.list_price.in_hand,
    "May come off the list price": lambda one: one.haggle,
}


def book_of(path: Path, settings: tuple[str, ...]) -> tuple[bytes, tuple[Selling, ...]]:
    brief = load(path, settings=settings)
    one = priced(brief, DAY, WORDING, {})
    channels = channels_of(brief, one)
    return workbook_bytes(one, live_plan(brief), None, channels), channels


def figures(book: Any) -> dict[str, list[Any]]:
    sheet = book["Selling"]
    return {
        row[0].value: [cell.value for cell in row[1:]] for row in sheet.iter_rows(min_row=5) if row[0].value
    }


def test_the_sheet_agrees_with_the_engine(tmp_path: Path) -> None:
    """To the last minor unit, in every kind of shop; and after changes of margin, floor, least price and step."""
    briefed(tmp_path / "job")
    path = tmp_path / "job" / "job.toml"
    books, wanted = {}, {}
    for name, settings in SHOPS.items():
        books[name], wanted[name] = book_of(path, settings)
    for name in ("tax added", "tax included"):
        opened = openpyxl.load_workbook(io.BytesIO(books[name]))
        for cell, value in CHANGED.items():
            cell_of(opened, cell).value = value
        saved = io.BytesIO()
        opened.save(saved)
        books[f"{name}, changed"] = saved.getvalue()
        wanted[f"{name}, changed"] = book_of(path, (*SHOPS[name], *TRIED))[1]
    wrong = []
    again = [
        (by, name, book)
        for by, recalculated in PROGRAMS.items()
        for name, book in recalculated(tmp_path / by, books).items()
    ]
    for by, name, book in again:
        found = figures(book)
        for i, one in enumerate(wanted[name]):
            for label, figure in LABELS.items():
                if one.list_price is None:
                    assert one.trouble in [*found["List price, as you show prices"]]
                elif found[label][i] != pytest.approx(float(figure(one)), abs=1e-6):
                    wrong.append(f"{by}, {name}, {one.name}, {label}: {found[label][i]} for {figure(one)}")
    assert wrong == []


def test_values_stand_beside_formulas(tmp_path: Path) -> None:
    """A preview that does not reckon shows the same figures."""
    briefed(tmp_path)
    data, channels = book_of(tmp_path / "job.toml", TAXED)
    found = figures(openpyxl.load_workbook(io.BytesIO(data), data_only=True))
    for label, figure in LABELS.items():
        assert found[label][: len(channels)] == pytest.approx([float(figure(one)) for one in channels])
