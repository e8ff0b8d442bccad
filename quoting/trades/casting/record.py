"""What a maker writes of casting in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass

from quoting.reading.fields import Length, Part, ShareRange, Strict, Supplied, VolumeRange, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Casting(Part):
    """Resin poured into a form."""

    volume: VolumeRange | None = None
    length: Length | None = None
    width: Length | None = None
    depth: Length | None = None
    resin: Word
    extra: ShareRange | None = None
    mixing_loss: ShareRange | None = None
    pour_depth: Length | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class CastingDefaults(Strict):
    """`[casting]`: cast resin."""

    extra: ShareRange
    mixing_loss: ShareRange
