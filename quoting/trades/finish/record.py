"""What a maker writes of finish in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish(fields.Part):
    """Oil, varnish, wax: anything bought by volume and spread."""

    area: fields.AreaRange
    product: fields.Word
    coats: fields.Count | None = None
    coverage: fields.CoverageRange | None = None
    dry_time: fields.Hours | None = None
    supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishDefaults(fields.Strict):
    """`[finish]`: oils and varnishes."""

    coats: fields.Count
    coverage: fields.CoverageRange
    dry_time: fields.Hours
