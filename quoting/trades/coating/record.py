"""What a maker writes of coating in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Coating(fields.Part):
    """Flood coats of resin."""

    area: fields.AreaRange | None = None
    length: fields.Length | None = None
    width: fields.Length | None = None
    resin: fields.Word
    thickness: fields.LengthRange
    coats: fields.Count = 1
    run_off: fields.ShareRange | None = None
    mixing_loss: fields.ShareRange | None = None
    supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatingDefaults(fields.Strict):
    """`[coating]`: flood coats."""

    run_off: fields.ShareRange
    mixing_loss: fields.ShareRange
