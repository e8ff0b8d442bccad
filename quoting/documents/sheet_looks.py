"""How cells look: colours, fonts, number formats."""

from __future__ import annotations

from typing import Literal

from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

Look = Literal["plain", "input", "grey", "sum", "head", "title", "note", "wrap", "bold", "hint"]

INPUT_COLOUR, GREY_COLOUR = "FFF2CC", "E7E6E6"
HEAD_FILL = PatternFill("solid", fgColor="DDE5E1")
FILLS = {
    "input": PatternFill("solid", fgColor=INPUT_COLOUR),
    "grey": PatternFill("solid", fgColor=GREY_COLOUR),
    "hint": PatternFill("solid", fgColor=GREY_COLOUR),
}
FACE = "Calibri"
PLAIN = Font(name=FACE, size=11)
FONTS = {
    "grey": Font(name=FACE, size=11, color="595959"),
    "sum": Font(name=FACE, size=11, bold=True),
    "bold": Font(name=FACE, size=11, bold=True),
    "head": Font(name=FACE, size=11, bold=True),
    "title": Font(name=FACE, size=15, bold=True),
    "note": Font(name=FACE, size=11, color="595959", italic=True),
    "hint": Font(name=FACE, size=9, color="595959", italic=True),
}
RIGHT = Alignment(horizontal="right", vertical="top")
SUM_LINE = Border(top=Side("thin", color="7F7F7F"))
SHARE, DAY, COUNT = "0.00%", "yyyy-mm-dd", "General"


def money_format(digits: int) -> str:
    """Number format of an amount with so many minor digits."""
    return "#,##0" + ("." + "0" * digits if digits else "")


def rate_format(digits: int) -> str:
    """Number format of a price for one unit: often finer than money itself."""
    return "#,##0." + "0" * max(digits, 2) + "##"
