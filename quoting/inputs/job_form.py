"""The form of a job that is filled in as a spreadsheet: its sheets, its heads, and how each field is explained in it."""

from __future__ import annotations

from quoting.inputs.field_types import is_needed
from quoting.inputs.template import SUCH_AS, Field, explained, sections

SUFFIX = ".xlsx"
SINGLE, LISTS, CAUSE = "Job", "Lists", "cause"
HEADS = ("Section", "Field", "Value", "How it is written")
FIRST_ENTRY = 3
EXTRA = (
    Field("name", '"wild_grain"', "by which ranges name it", False),
    Field(
        "flatten",
        '[{ after = "last", removes = "0.5 .. 1 .. 2 mm", hours = "2 h" }]',
        "what is flattened off, and when",
        False,
    ),
)
"""Columns that the starter job has no field for: the name of a cause, and the flattenings of a laminate in one cell."""

NEEDED = "NEEDED"


def hint(section: str, field: Field) -> str:
    """What stands beside a field, or below its head: whether an entry can do without it, an example, the comment."""
    return "; ".join(filter(None, (NEEDED if is_needed(section, field.name) else "", explained(field))))


def is_hint(sheet: str, text: str) -> bool:
    """True of what may stand in a sheet's row of explanations: also as an earlier version wrote it, for comments change."""
    if text.startswith((NEEDED, SUCH_AS)):
        return True
    known = [one for name, one in sections("job.toml").items() if name.partition(".")[0] == sheet]
    fields = [*(field for section in known for field in section.fields), *EXTRA]
    return bool(_bare(text)) and _bare(text) in {
        _bare(words) for field in fields for words in (explained(field), hint(sheet, field))
    }


def _bare(words: str) -> str:
    return "".join(filter(str.isalnum, words))
