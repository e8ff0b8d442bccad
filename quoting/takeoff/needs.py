"""What a take-off hands on: needs, what drives standard times, mass, waiting, doubts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from quoting.errors import Problem, nearest
from quoting.values import Basis, Num, key

if TYPE_CHECKING:
    from quoting.reading.fields import Part

Kind = Literal["material", "labour", "machine", "outside", "allowance", "wear", "job"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """A quantity of one item of one part.

    `amounts` gives the same quantity in every dimension in which it may be priced (canonical units:
    m3, m2, m, kg, h, each). `named_by` is the path of the field that names the item. `price` stands
    in for the price file: money for all of it, printed per `unit` (its name, and its canonical size), from `source`.
    `kept` is the share of a bought thing that is in the finished piece: the rest is scrap. `ordered` is what must be bought for one of
    what is charged. `operation` is the standard operation that a labour line stands for.
    """

    id: str
    trade: str
    part: str
    kind: Kind
    item: str
    amounts: Mapping[str, Num]
    basis: Basis
    stage: str
    named_by: str = ""
    supplied: str = "bought"
    price: Num | None = None
    unit: tuple[str, float] = ("each", 1.0)
    source: str = "job file"
    operation: str = ""
    supplier: str = ""
    lead_days: float = 0.0
    kept: Num = 1.0
    ordered: float = 1.0

    def times(self, factor: float) -> Need:
        """So many times of it."""
        amounts = {dimension: amount * factor for dimension, amount in self.amounts.items()}
        return replace(self, amounts=amounts, price=None if self.price is None else self.price * factor)


def part_need(
    trade: str,
    part: Part,
    name: str,
    amounts: Mapping[str, Num],
    words: Basis,
    kind: Kind = "material",
    *,
    item: str = "",
    field: str = "",
    stage: str = "bench",
    **more: Any,
) -> Need:
    """The line called `name` of a part, at the stage that the part names, else at `stage`; `more` are other fields of a need.

    A material is named by a field of the part, which is called as the line where no `field` is given; what stands there is the
    item where no `item` is given.
    """
    if kind == "material":
        more = {"named_by": f"{trade}.{part.id}.{field or name}", **more}
    return Need(
        id=f"{trade}.{part.id}.{name}",
        trade=trade,
        part=part.part or getattr(part, part.naming),
        kind=kind,
        item=item or getattr(part, field or name),
        amounts=amounts,
        basis=words,
        stage=part.stage or stage,
        **more,
    )


class Doubt(NamedTuple):
    """A warning with its numbers and its limit. `code` is stable; `words` are filled like a basis."""

    code: str
    field: str
    words: Basis


def doubt(code: str, field: str, words: str, /, **numbers: object) -> Doubt:
    """A doubt from its sentence and numbers."""
    return Doubt(code, field, Basis(words, numbers))


def untabled(field: str, name: str, table: Iterable[str], or_else: str = "") -> Iterator[Problem]:
    """A name that the reference table lacks."""
    if key(name) not in table:
        found, wanted = f'found "{name}", not in the reference table', nearest(key(name), table) + or_else
        yield Problem.of(field, found, wanted, "unknown_name", name=name, known=list(table))


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """The take-off of one part.

    `drivers` counts what standard times are driven by, per unit of `Standard.per`. `facts` are the
    quantities a job adds up (keys of the `quantities` of an answer as data). `chain_days` is how long the part
    keeps its own stage busy, curing included [d], in `chain_steps` steps
    of one length (rounds, pours, coats). `clipped` marks draws held back at a bound.
    `skip` are standard operations that the trade counts by itself or does not need.
    """

    needs: tuple[Need, ...] = ()
    drivers: Mapping[str, Num] = field(default_factory=dict)
    facts: Mapping[str, Num] = field(default_factory=dict)
    mass_kg: Num = 0.0
    shaped: bool = False
    setup_key: str = ""
    chain_days: Num = 0.0
    chain_steps: Num = 1.0
    clipped: Mapping[str, Num] = field(default_factory=dict)
    skip: frozenset[str] = frozenset()
