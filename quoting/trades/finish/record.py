"""What a maker writes of finish in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass

from quoting.reading.fields import (
    AreaRange,
    Count,
    CoverageRange,
    Hours,
    Part,
    Strict,
    Supplied,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish(Part):
    """Oil, varnish, wax: anything bought by volume and spread."""

    area: AreaRange
    product: Word
    coats: Count | None = None
    coverage: CoverageRange | None = None
    dry_time: Hours | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishDefaults(Strict):
    """`[finish]`: oils and varnishes."""

    coats: Count
    coverage: CoverageRange
    dry_time: Hours
