"""Record of job.toml, one piece; and of an actuals file, for a finished piece that was never logged."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import AfterValidator

from quoting.by_trade import BY_TRADE
from quoting.errors import Reading
from quoting.job.selling import PaymentTerm
from quoting.job.shop import Cause
from quoting.reading import fields

From = Literal["bought", "rack"]
"""bought for this job; from the maker's own rack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip(fields.Strict):
    """A trip: how far in all, and the hours of all who went."""

    distance: fields.Distance
    hours: fields.Hours


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost(fields.Strict):
    """A setback that happened."""

    what: fields.Word
    hours: fields.Hours | None = None
    cost: fields.Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Actuals(fields.Strict):
    """Totals of a finished piece. What is left out is not recorded, which is not nothing."""

    format: fields.Format
    finished: fields.Day | None = None
    price: fields.Money | None = None
    hours: dict[fields.Word, fields.Hours] = field(default_factory=dict)
    receipts: dict[fields.Word, fields.Money] = field(default_factory=dict)
    trips: tuple[Trip, ...] = ()
    setbacks: tuple[Lost, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece(fields.Strict):
    """The piece as the client knows it."""

    code: fields.Text = ""
    title: fields.Word
    words: fields.Text = ""
    basis: Literal["commission", "for sale"] = "commission"
    length: fields.Length | None = None
    width: fields.Length | None = None
    height: fields.Length | None = None
    included: tuple[fields.Text, ...] = ()
    not_included: tuple[fields.Text, ...] = ()
    care: fields.Text = ""
    picture: fields.Text = ""
    quantity: fields.Count = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Client(fields.Strict):
    """Who asked."""

    name: fields.Text = ""
    address: fields.Text = ""
    email: fields.Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPrice(fields.Strict):
    """What this job prices otherwise than the shop does."""

    margin: fields.Share | None = None
    discount: fields.PriceCut | None = None
    why: fields.Text = ""
    reserve: fields.Text = ""
    rush: fields.Flag = False
    channel: fields.Text = ""
    expected: fields.MoneyRange | None = None


def _note(name: str) -> str:
    """One of the notes for clients; Reading for any other."""
    from quoting.job.starters import safety_notes  # which stands on this record

    if name not in safety_notes():
        *most, last = map(repr, safety_notes())
        wanted = f"write {', '.join(most)} or {last}"
        raise Reading(f"found {name}", wanted, "unknown_name", name=name, known=list(safety_notes()))
    return name


Note = Annotated[fields.Word, AfterValidator(_note)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote(fields.Strict):
    """What the paper says."""

    date: fields.Day | None = None
    valid: fields.Days | None = None
    ready_by: fields.Day | None = None
    show_options: fields.Flag = False
    notes: fields.Text = ""
    leave_out: tuple[Note, ...] = ()
    payments: tuple[PaymentTerm, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRisk(fields.Strict):
    """Seed and number of draws of this job."""

    seed: fields.CountOrNone | None = None
    draws: fields.Count | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery(fields.Strict):
    """How the piece travels."""

    road_distance: fields.Distance | None = None
    straight_distance: fields.Distance | None = None
    place: fields.Coordinates | None = None
    collect: fields.Flag = False
    flights: fields.CountOrNone = 0
    crew: fields.Count | None = None
    install_hours: fields.HoursRange | None = None
    packing: fields.Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option(fields.Strict):
    """A variant of the piece: values set, parts added or dropped."""

    name: fields.Word
    words: fields.Text = ""
    set: dict[str, Any] = field(default_factory=dict)
    add: tuple[dict[str, Any], ...] = ()
    drop: tuple[fields.Text, ...] = ()
    show: fields.Flag = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect(fields.Strict):
    """What must not be in a part: a rectangle of a board, from the end and the edge that it is measured at."""

    from_end: fields.Length = 0.0
    length: fields.Length | None = None
    from_edge: fields.Length = 0.0
    width: fields.Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Board(fields.Strict):
    """`[[board]]`: a board of a species and rough thickness, as it lies in the yard or on the rack."""

    species: fields.Word
    stock: fields.Rough
    length: fields.Length
    width: fields.Length
    count: fields.Count | None = None
    price: fields.Money | None = None
    supplied: From = "bought"
    defects: tuple[Defect, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize(fields.Strict):
    """`[[sheet_size]]`: a size that an item of sheet goods comes in."""

    item: fields.Word
    length: fields.Length
    width: fields.Length
    count: fields.Count | None = None
    price: fields.Money | None = None
    supplied: From = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLength(fields.Strict):
    """`[[bar_length]]`: a length that a bar or tube comes in."""

    item: fields.Word
    length: fields.Length
    count: fields.Count | None = None
    price: fields.Money | None = None
    supplied: From = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCut(fields.Strict):
    """`[cut]` of a job: files with a yard's tally, and with the offcuts on the rack."""

    tally: fields.Text = ""
    rack: fields.Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(fields.Strict):
    """One piece: the head, and any number of parts of each trade, by its name; a key of the trade, such as GLASS, reads them."""

    format: fields.Format
    piece: Piece
    client: Client = field(default_factory=Client)
    price: JobPrice = field(default_factory=JobPrice)
    quote: Quote = field(default_factory=Quote)
    risk: JobRisk = field(default_factory=JobRisk)
    delivery: Delivery | None = None
    cause: dict[fields.Word, Cause] = field(default_factory=dict)
    option: tuple[Option, ...] = ()
    cut: JobCut = field(default_factory=JobCut)
    board: tuple[Board, ...] = ()
    sheet_size: tuple[SheetSize, ...] = ()
    bar_length: tuple[BarLength, ...] = ()
    parts: Mapping[str, tuple[Any, ...]] = field(default_factory=dict, metadata=BY_TRADE)
