"""What a maker writes of finish in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading.fields import STRICT, AreaRange, Count, CoverageRange, Hours, Part, Supplied, Word


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
class FinishDefaults:
    """`[finish]`: oils and varnishes."""

    __pydantic_config__: ClassVar = STRICT
    coats: Count
    coverage: CoverageRange
    dry_time: Hours
