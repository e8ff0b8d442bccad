"""What a maker writes of laminate in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from quoting.reading.fields import (
    AfterRound,
    ArealMass,
    ArealMassRange,
    BleedRange,
    Count,
    CountOrNone,
    Feed,
    Fitted,
    Flag,
    Hours,
    HoursRange,
    Length,
    LengthRange,
    Money,
    Number,
    Part,
    Plies,
    Pressure,
    Share,
    ShareRange,
    Strict,
    Supplied,
    Text,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialStrip(Strict):
    """A strip that was laid up and measured."""

    plies: Count
    thickness: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Flatten(Strict):
    """One flattening of a panel: what it removes from all faces together, and the pass that does it."""

    after: AfterRound = None
    removes: LengthRange
    machine: Text = ""
    hours: HoursRange | None = None
    stepover: Length | None = None
    feed: Feed | None = None
    passes: Count = 1
    setup: Hours = 0.0
    attended: ShareRange | None = None
    who: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laminate(Part):
    """A panel of plies wetted out with resin and pressed in vacuum-bagging rounds."""

    length: Length
    width: Length
    thickness: Length
    ply: Plies
    ply_mass: ArealMass
    fibre: Word
    ply_thickness: LengthRange | None = None
    trial: Annotated[tuple[TrialStrip, ...], Fitted("length")] = ()
    sheet_length: Length | None = None
    sheet_width: Length | None = None
    roll_width: Length | None = None
    overlap: Length = 0.0
    resin: Word
    block: Count = 1
    plies_per_round: Count | None = None
    time_per_ply: HoursRange | None = None
    learning: ShareRange | None = None
    bag_setup: HoursRange | None = None
    close_bag: HoursRange | None = None
    debag_time: HoursRange | None = None
    clean_up: HoursRange | None = None
    working_time: Hours | None = None
    spoilage: ShareRange | None = None
    bleed: BleedRange | None = None
    wet_out: ArealMassRange | None = None
    mixing_loss: ShareRange | None = None
    cure_time: Hours | None = None
    bag: Literal["disposable", "envelope", "reusable"] = "disposable"
    release_film: Flag = False
    vacuum: Pressure | None = None
    flatten: tuple[Flatten, ...] = ()
    supplied: Supplied = "bought"
    resin_supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPly(Strict):
    """`[ply.<item>]`: cured thickness of one ply, where a job gives neither that nor trial strips."""

    thickness: LengthRange


@dataclass(frozen=True, slots=True, kw_only=True)
class LaminateDefaults(Strict):
    """`[laminate]`: lay-up, losses and times of a bagging round."""

    trim: Length
    spoilage: ShareRange
    bleed: BleedRange
    wet_out: ArealMassRange
    mixing_loss: ShareRange
    working_time_used: Share
    learning: ShareRange
    bag_setup: HoursRange
    close_bag: HoursRange
    debag_time: HoursRange
    clean_up: HoursRange
    trial_spread: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Bagging(Strict):
    """`[bagging]`: geometry of one cycle and the price-book items it uses up."""

    margin: Length
    beyond: Length
    pleat_height: Length
    pleats: CountOrNone
    peel_border: Length
    breather_border: Length
    tape_extra: Share
    film: Word
    tape: Word
    peel_ply: Word
    release_film: Word
    breather: Word
    bag_price: Money
    bag_cycles: Count
    per_cycle: dict[Word, Number] = field(default_factory=dict)
