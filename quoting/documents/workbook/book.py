"""The workbook being written: its figures, and which cell stands for which number."""

from dataclasses import dataclass, field
from typing import Any

from quoting.documents.workbook.cells import Page
from quoting.documents.workbook.looks import Look
from quoting.formulas.formula import Formulas
from quoting.formulas.number import Number, value_of
from quoting.formulas.plan import LivePlan
from quoting.pricing.record import Priced


@dataclass(frozen=True, slots=True)
class Book:
    """What all sheets share. `results` is the cell of every line's quantity; `marks` those that tell a change,
    `dated` the first and last cell of the items with a dated price."""

    priced: Priced
    plan: LivePlan
    formulas: Formulas = field(default_factory=Formulas)
    results: dict[str, str] = field(default_factory=dict)
    marks: list[str] = field(default_factory=list)
    dated: list[str] = field(default_factory=list)

    @property
    def digits(self) -> int:
        """Minor digits of the currency."""
        return self.priced.digits

    @property
    def currency(self) -> str:
        """ISO code of all amounts."""
        return self.priced.currency

    def figure(
        self, page: Page, at: str, one: Any, shape: str, size: float = 1.0, look: Look = "plain"
    ) -> None:
        """A number of the plan: a formula where it rests on cells, else fixed and grey."""
        sheet, value = page.sheet.title, value_of(one) / size
        letters = at.rstrip("0123456789")
        own = f"{sheet}!${letters}${at[len(letters) :]}"
        if isinstance(one, Number):
            stands = self.formulas.cells.get(one)
            here = stands is not None and stands.at == own
            text = self.formulas.spelled(one, size) if here else self.formulas.of(one, size)
            if "!" in text or "tax_rate" in text:
                page.formula(at, text.replace(f"{sheet}!", ""), value, shape, look)
                return
        page.number(at, value, shape, "grey" if look == "plain" else look)
