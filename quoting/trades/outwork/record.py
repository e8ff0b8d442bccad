"""What a maker writes of outwork in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Outwork(fields.Part):
    """A subcontractor's price."""

    naming: ClassVar = "what"
    part: fields.Text = ""
    what: fields.Word
    price: fields.MoneyRange
    supplier: fields.Text = ""
    lead: fields.Days | None = None
