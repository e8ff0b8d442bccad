"""Record of job.toml, one piece; and of an actuals file, for a finished piece that was never logged."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from quoting.declaration import BY_TRADE
from quoting.job.selling import Stage
from quoting.job.shop import Cause
from quoting.reading.fields import (
    Coordinates,
    Count,
    CountOrNone,
    Day,
    Days,
    Distance,
    Flag,
    Format,
    Hours,
    HoursRange,
    Length,
    Money,
    MoneyRange,
    PriceCut,
    Rough,
    Share,
    Strict,
    Text,
    Word,
)

From = Literal["bought", "rack"]
"""bought for this job; from the maker's own rack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip(Strict):
    """A trip: how far in all, and the hours of all who went."""

    distance: Distance
    hours: Hours


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost(Strict):
    """A setback that happened."""

    what: Word
    hours: Hours | None = None
    cost: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Actuals(Strict):
    """Totals of a finished piece. What is left out is not recorded, which is not nothing."""

    format: Format
    finished: Day | None = None
    price: Money | None = None
    hours: dict[Word, Hours] = field(default_factory=dict)
    receipts: dict[Word, Money] = field(default_factory=dict)
    trips: tuple[Trip, ...] = ()
    setbacks: tuple[Lost, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece(Strict):
    """The piece as the client knows it."""

    code: Text = ""
    title: Word
    words: Text = ""
    basis: Literal["commission", "for sale"] = "commission"
    length: Length | None = None
    width: Length | None = None
    height: Length | None = None
    included: tuple[Text, ...] = ()
    not_included: tuple[Text, ...] = ()
    care: Text = ""
    picture: Text = ""
    quantity: Count = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Client(Strict):
    """Who asked."""

    name: Text = ""
    address: Text = ""
    email: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPrice(Strict):
    """What this job prices otherwise than the shop does."""

    margin: Share | None = None
    discount: PriceCut | None = None
    why: Text = ""
    contingency: Text = ""
    rush: Flag = False
    channel: Text = ""
    expected: MoneyRange | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote(Strict):
    """What the paper says."""

    date: Day | None = None
    valid: Days | None = None
    ready_by: Day | None = None
    show_options: Flag = False
    notes: Text = ""
    leave_out: tuple[Word, ...] = ()
    stages: tuple[Stage, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRisk(Strict):
    """Seed and number of draws of this job."""

    seed: CountOrNone | None = None
    draws: Count | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery(Strict):
    """How the piece travels."""

    road_distance: Distance | None = None
    straight_distance: Distance | None = None
    place: Coordinates | None = None
    collect: Flag = False
    stairs: CountOrNone = 0
    crew: Count | None = None
    install_hours: HoursRange | None = None
    packing: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option(Strict):
    """A variant of the piece: values set, parts added or dropped."""

    name: Word
    words: Text = ""
    set: dict[str, Any] = field(default_factory=dict)
    add: tuple[dict[str, Any], ...] = ()
    drop: tuple[Text, ...] = ()
    show: Flag = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect(Strict):
    """What must not be in a part: a rectangle of a board, from the end and the edge that it is measured at."""

    from_end: Length = 0.0
    length: Length | None = None
    from_edge: Length = 0.0
    width: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Board(Strict):
    """`[[board]]`: a board of a species and rough thickness, as it lies in the yard or on the rack."""

    species: Word
    stock: Rough
    length: Length
    width: Length
    count: Count | None = None
    price: Money | None = None
    supplied: From = "bought"
    defects: tuple[Defect, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize(Strict):
    """`[[sheet_size]]`: a size that an item of sheet goods comes in."""

    item: Word
    length: Length
    width: Length
    count: Count | None = None
    price: Money | None = None
    supplied: From = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLength(Strict):
    """`[[bar_length]]`: a length that a bar or tube comes in."""

    item: Word
    length: Length
    count: Count | None = None
    price: Money | None = None
    supplied: From = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCut(Strict):
    """`[cut]` of a job: files with a yard's tally, and with the offcuts on the rack."""

    tally: Text = ""
    rack: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(Strict):
    """One piece: the head, and any number of parts of each trade, by its name; a key of the trade, such as GLASS, reads them."""

    format: Format
    piece: Piece
    client: Client = field(default_factory=Client)
    price: JobPrice = field(default_factory=JobPrice)
    quote: Quote = field(default_factory=Quote)
    risk: JobRisk = field(default_factory=JobRisk)
    delivery: Delivery | None = None
    cause: dict[Word, Cause] = field(default_factory=dict)
    option: tuple[Option, ...] = ()
    cut: JobCut = field(default_factory=JobCut)
    board: tuple[Board, ...] = ()
    sheet_size: tuple[SheetSize, ...] = ()
    bar_length: tuple[BarLength, ...] = ()
    parts: Mapping[str, tuple[Any, ...]] = field(default_factory=dict, metadata=BY_TRADE)
