"""What a maker writes of coating in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass

from quoting.reading.fields import (
    AreaRange,
    Count,
    Length,
    LengthRange,
    Part,
    ShareRange,
    Strict,
    Supplied,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coating(Part):
    """Flood coats of resin."""

    area: AreaRange | None = None
    length: Length | None = None
    width: Length | None = None
    resin: Word
    thickness: LengthRange
    coats: Count = 1
    run_off: ShareRange | None = None
    mixing_loss: ShareRange | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatingDefaults(Strict):
    """`[coating]`: flood coats."""

    run_off: ShareRange
    mixing_loss: ShareRange
