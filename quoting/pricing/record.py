"""The record of a priced job: everything documents need, nothing they must compute."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from types import MappingProxyType
from typing import Any, NamedTuple

from quoting.costing.lines import MATERIAL
from quoting.declaration import Trade
from quoting.errors import Path
from quoting.job.job import Job
from quoting.job.rules import P80
from quoting.job.shop import Shop
from quoting.pricing.bench_record import Cut, PourCard, Step
from quoting.pricing.chain import Chain, Rules
from quoting.pricing.payments import Payment
from quoting.takeoff.stock import CutPlan
from quoting.trades.laminate.bagging import LaminateCard
from quoting.trades.registry import groups

PEOPLE = ("labour", "setback")
"""Groups that hours of people stand in."""


class PricedLine(NamedTuple):
    """A printed line: its amount is exact, its basis and source are sentences."""

    id: str
    trade: str
    part: str
    item: str
    stage: str
    quantity: float
    unit: str
    rate: float
    amount: Decimal
    supplied: str
    measure: str
    basis: str
    source: str
    kind: str = ""

    @property
    def material(self) -> bool:
        """True for a thing that is bought by the piece, litre or metre."""
        return _kind(self) in MATERIAL

    @property
    def of_people(self) -> bool:
        """True for hours of people: at the bench and desk, and of setbacks."""
        return self.measure == "h" and self.trade in PEOPLE

    @property
    def by_others(self) -> bool:
        """True for work that others do at a price for the whole."""
        return _kind(self) == "outside"


def _kind(line: PricedLine) -> str:
    """What a line is; of a quote of an older version, what its group is made of."""
    group = groups().get(line.trade)
    return line.kind or (group.kind if group else "")


def group_title(group: str) -> str:
    """A group of lines as documents name it."""
    own = groups().get(group)
    return own.title if own and own.title else group.removesuffix("_carried").replace("_", " ")


class Buying(NamedTuple):
    """A line of the buying list: what to buy, in which packs, from whom, for how much."""

    item: str
    needed: float
    bought: float
    unit: str
    packs: str
    amount: Decimal
    supplier: str
    lead_days: float
    dated: str
    stale: bool


class Warned(NamedTuple):
    """A warning as printed: a stable code, the field it is about, the words with numbers and limit; where the field stands, and the
    figures and names that the words are made of.
    """

    code: str
    field: str
    words: str
    file: str = ""
    path: Path = ()
    values: Mapping[str, Any] = MappingProxyType({})


class Unsure(NamedTuple):
    """An uncertain input: its range in words, and what cost moves by from low to high [money]."""

    name: str
    words: str
    at_low: float
    at_high: float


class Variant(NamedTuple):
    """An option of the job, priced."""

    name: str
    words: str
    total: Decimal


class RateShown(NamedTuple):
    """An hour's rate and how it is built up."""

    name: str
    per_hour: float
    words: str


@dataclass(frozen=True, slots=True)
class Priced:
    """A job with its price. `number` is that of the issued quote, `replaces` of the one it revises; "" for a draft. `outside` are the
    trades of other packages that job or shop name, so that it can be read where they are gone.
    """

    job: Job
    shop: Shop
    day: date
    digits: int
    quantities: Mapping[str, float]
    lines: tuple[PricedLine, ...]
    cost: Mapping[str, Decimal]
    reserve_asked: str
    rules: Rules
    chain: Chain
    payments: tuple[Payment, ...]
    buying: tuple[Buying, ...]
    rates: tuple[RateShown, ...]
    warnings: tuple[Warned, ...]
    cautions: tuple[tuple[str, str], ...]
    policies_broken: tuple[str, ...]
    starter_values: Mapping[str, int]
    wording: Mapping[str, Mapping[str, str]]
    sha256: Mapping[str, str]
    carried_m: float | None
    unsure: tuple[Unsure, ...] = ()
    options: tuple[Variant, ...] = ()
    cuts: tuple[Cut, ...] = ()
    bench: tuple[LaminateCard, ...] = ()
    pours: tuple[PourCard, ...] = ()
    calendar: tuple[Step, ...] = ()
    plans: tuple[CutPlan, ...] = ()
    number: str = ""
    replaces: str = ""
    outside: tuple[Trade, ...] = ()

    @property
    def valid_until(self) -> date:
        """The last day on which the price holds: after the job's own days, or the shop's."""
        valid = self.job.quote.valid
        return self.day + timedelta(days=self.shop.terms.valid if valid is None else valid)

    @property
    def currency(self) -> str:
        """ISO code of all amounts."""
        return self.shop.shop.currency

    @property
    def planned_cost(self) -> Decimal:
        """Cost by the plan [money], without a reserve, the whole trip in it."""
        return self.cost["planned"] + self.chain.delivery_extra

    @property
    def reserve_drawn(self) -> bool:
        """True where the reserve is what draws say, not a share of the cost."""
        return self.reserve_asked.strip().upper() == P80

    @property
    def groups(self) -> list[str]:
        """Groups of lines in printed order."""
        there = {line.trade for line in self.lines}
        return [group for group in self.cost if group in there]
