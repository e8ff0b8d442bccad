"""The workbook of a priced job: live formulas that reach the engine's figures to the last digit."""

from __future__ import annotations

import io
from datetime import datetime
from typing import TYPE_CHECKING

from openpyxl import Workbook
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.workbook.defined_name import DefinedName

from quoting.documents.cells import Page, clean
from quoting.documents.seal import seal
from quoting.documents.sheet_buying import write_buying
from quoting.documents.sheet_head import write_head
from quoting.documents.sheet_lines import write_lines
from quoting.documents.sheet_paper import fit, set_up
from quoting.documents.sheet_payments import write_payments, write_sharing
from quoting.documents.sheet_price import BELOW, write_chain, write_cost, write_fees, write_left
from quoting.documents.sheet_rates import write_rates
from quoting.documents.sheet_rounding import write_rounding
from quoting.documents.sheet_rows import PriceRows

if TYPE_CHECKING:
    from collections.abc import Mapping

    from quoting.pricing.record import Priced

SHEETS = ("Price", "Lines", "Buying", "Rates", "Steps")


def workbook_bytes(priced: Priced) -> bytes:
    """The workbook as an .xlsx file: the same job gives the same bytes.

    Nothing of the model is reckoned here. Every formula carries the value the engine found, so that
    previews show figures and a recalculation can be held against them.
    """
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    pages = {name: Page(workbook.create_sheet(name), priced.digits) for name in SHEETS}
    names = _write(pages, priced)
    for name, cell in names.items():
        workbook.defined_names[name] = DefinedName(name, attr_text=cell)
    for page in pages.values():
        set_up(page.sheet, priced.shop.shop.paper)
    properties = workbook.properties
    properties.title = clean(f"Price of {priced.job.piece.title}")
    properties.creator = clean(priced.shop.shop.name)
    properties.created = datetime(priced.day.year, priced.day.month, priced.day.day)
    saved = io.BytesIO()
    workbook.save(saved)
    known = {f"xl/worksheets/sheet{i}.xml": page.known for i, page in enumerate(pages.values(), start=1)}
    return seal(saved.getvalue(), known, priced.day)


def _write(pages: Mapping[str, Page], priced: Priced) -> Mapping[str, str]:
    """Fill all sheets. Returns the cell of every named figure."""
    price = pages["Price"]
    rates = write_rates(pages["Rates"], priced)
    lines = write_lines(pages["Lines"], priced, rates)
    write_buying(pages["Buying"], priced)
    rows = PriceRows(price, priced, write_head(price, priced) + 1)
    write_cost(rows, lines)
    write_fees(rows)
    write_chain(rows)
    write_left(rows)
    payments_row = rows.row + 1
    write_payments(price, priced, payments_row)
    write_rounding(pages["Steps"], priced)
    write_sharing(pages["Steps"], priced, payments_row + 1)
    verdict = rows.names["floor_verdict"].replace("Price!", "")
    red = DifferentialStyle(font=Font(bold=True, color="C00000"))
    warned = Rule("expression", dxf=red, formula=[f'{verdict}="{BELOW}"'])
    price.sheet.conditional_formatting.add(verdict.replace("$", ""), warned)
    fit(price.sheet, A=42, B=16, C=14, D=14, E=14, F=14, G=34)
    fit(pages["Steps"].sheet, A=34, B=14, C=14, D=16, E=14, F=14, G=14, H=16, I=14, J=14, K=14)
    return rows.names
