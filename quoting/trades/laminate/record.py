"""What a maker writes of laminate in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialStrip(fields.Strict):
    """A strip that was laid up and measured."""

    plies: fields.Count
    thickness: fields.Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Flatten(fields.Strict):
    """One flattening of a panel: what it removes from all faces together, and the pass that does it."""

    after: fields.AfterRound = None
    removes: fields.LengthRange
    machine: fields.Text = ""
    hours: fields.HoursRange | None = None
    stepover: fields.Length | None = None
    feed: fields.Feed | None = None
    passes: fields.Count = 1
    setup: fields.Hours = 0.0
    attended: fields.ShareRange | None = None
    who: fields.Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laminate(fields.Part):
    """A panel of plies wetted out with resin and pressed in vacuum-bagging rounds."""

    length: fields.Length
    width: fields.Length
    thickness: fields.Length
    ply: fields.Plies
    ply_mass: fields.ArealMass
    fibre: fields.Word
    ply_thickness: fields.LengthRange | None = None
    trial: Annotated[tuple[TrialStrip, ...], fields.Fitted("length")] = ()
    sheet_length: fields.Length | None = None
    sheet_width: fields.Length | None = None
    roll_width: fields.Length | None = None
    overlap: fields.Length = 0.0
    resin: fields.Word
    block: fields.Count = 1
    plies_per_round: fields.Count | None = None
    time_per_ply: fields.HoursRange | None = None
    learning: fields.ShareRange | None = None
    bag_setup: fields.HoursRange | None = None
    close_bag: fields.HoursRange | None = None
    debag_time: fields.HoursRange | None = None
    clean_up: fields.HoursRange | None = None
    working_time: fields.Hours | None = None
    spoilage: fields.ShareRange | None = None
    bleed: fields.BleedRange | None = None
    wet_out: fields.ArealMassRange | None = None
    mixing_loss: fields.ShareRange | None = None
    cure_time: fields.Hours | None = None
    bag: Literal["disposable", "envelope", "reusable"] = "disposable"
    release_film: fields.Flag = False
    vacuum: fields.Pressure | None = None
    flatten: tuple[Flatten, ...] = ()
    supplied: fields.Supplied = "bought"
    resin_supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPly(fields.Strict):
    """`[ply.<item>]`: cured thickness of one ply, where a job gives neither that nor trial strips."""

    thickness: fields.LengthRange


@dataclass(frozen=True, slots=True, kw_only=True)
class LaminateDefaults(fields.Strict):
    """`[laminate]`: lay-up, losses and times of a bagging round."""

    trim: fields.Length
    spoilage: fields.ShareRange
    bleed: fields.BleedRange
    wet_out: fields.ArealMassRange
    mixing_loss: fields.ShareRange
    working_time_used: fields.Share
    learning: fields.ShareRange
    bag_setup: fields.HoursRange
    close_bag: fields.HoursRange
    debag_time: fields.HoursRange
    clean_up: fields.HoursRange
    trial_spread: fields.Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Bagging(fields.Strict):
    """`[bagging]`: geometry of one cycle and the price-book items it uses up."""

    margin: fields.Length
    beyond: fields.Length
    pleat_height: fields.Length
    pleats: fields.CountOrNone
    peel_border: fields.Length
    breather_border: fields.Length
    tape_extra: fields.Share
    film: fields.Word
    tape: fields.Word
    peel_ply: fields.Word
    release_film: fields.Word
    breather: fields.Word
    bag_price: fields.Money
    bag_cycles: fields.Count
    per_cycle: dict[fields.Word, fields.Number] = field(default_factory=dict)
