"""Records of what is there to be cut: boards, sizes of sheets, lengths of bars, and what a shop makes of offcuts."""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from quoting.reading.fields import Count, Length, Money, Rough, Share, Strict, Text, Word
from quoting.values import StockKind

From = Literal["bought", "rack"]
"""bought for this job; from the maker's own rack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect(Strict):
    """What must not be in a part: a rectangle of a board, from the end and the edge that it is measured at."""

    from_end: Length = 0.0
    length: Length | None = None
    from_edge: Length = 0.0
    width: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Board(Strict):
    """`[[board]]`: a board of a species and rough thickness, as it lies in the yard or on the rack."""

    species: Word
    stock: Rough
    length: Length
    width: Length
    count: Count | None = None
    price: Money | None = None
    supplied: From = "bought"
    defects: tuple[Defect, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize(Strict):
    """`[[sheet_size]]`: a size that an item of sheet goods comes in."""

    item: Word
    length: Length
    width: Length
    count: Count | None = None
    price: Money | None = None
    supplied: From = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLength(Strict):
    """`[[bar_length]]`: a length that a bar or tube comes in."""

    item: Word
    length: Length
    count: Count | None = None
    price: Money | None = None
    supplied: From = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCut(Strict):
    """`[cut]` of a job: files with a yard's tally, and with the offcuts on the rack."""

    tally: Text = ""
    rack: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutDefaults(Strict):
    """`[cut]` of a shop: how boards that are cut are charged, and what of them is kept."""

    charge: Literal["whole", "used"] = "whole"
    shelf_waste: Share = 0.0
    offcut_length: Length = 0.0
    offcut_width: Length = 0.0
    offcut_worth: Share = 0.0


class StockRow(NamedTuple):
    """Stock of one size, wherever it was written: `path` is its place in the job file, `file` and `line` that in a tally.

    `name` is a species, or the item of a sheet or bar; no `rough_m` for those, no `width_m` for bars. No number: as many as
    are bought. No price: that of the price book.
    """

    kind: StockKind
    name: str
    rough_m: float
    length_m: float
    width_m: float
    number: int | None = None
    price: float | None = None
    supplied: From = "bought"
    defects: tuple[Defect, ...] = ()
    path: str = ""
    file: str = ""
    line: int = 0

    @property
    def where(self) -> str:
        """Where it is written, for people; what is listed nowhere is the size that the parts name themselves."""
        return self.path or (f"{self.file} line {self.line}" if self.file else "the usual size")
