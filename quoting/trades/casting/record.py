"""What a maker writes of casting in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Casting(fields.Part):
    """Resin poured into a form."""

    volume: fields.VolumeRange | None = None
    length: fields.Length | None = None
    width: fields.Length | None = None
    depth: fields.Length | None = None
    resin: fields.Word
    extra: fields.ShareRange | None = None
    mixing_loss: fields.ShareRange | None = None
    pour_depth: fields.Length | None = None
    supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class CastingDefaults(fields.Strict):
    """`[casting]`: cast resin."""

    extra: fields.ShareRange
    mixing_loss: fields.ShareRange
