"""The names that an entry may use: lines of the plan that it can fill, people, machines, payments."""

from collections.abc import Iterable
from dataclasses import dataclass

from quoting.job.brief import Brief
from quoting.pricing.record import Priced, PricedLine
from quoting.trades.laminate import LAMINATE
from quoting.values import key, slug

TRIP = "delivery.trip.carried"
"""The line that trips fill."""

UNPLANNED = "unplanned"
"""First part of the ids of lines that the plan lacks: their plan is 0."""

BY_STAGE = "stage"
"""First part of the ids of lines for hours of which only the stage is known."""


@dataclass(frozen=True, slots=True)
class Names:
    """Names of a piece, or of the shop where `lines` is empty. `spent_on` are rows of the shop's overhead."""

    lines: tuple[PricedLine, ...]
    people: tuple[str, ...]
    machines: tuple[str, ...]
    laminates: tuple[str, ...]
    payments: tuple[str, ...]
    spent_on: tuple[str, ...]
    digits: int

    @property
    def is_shop(self) -> bool:
        """True where entries are about the shop and not about a piece."""
        return not self.lines

    @property
    def stages(self) -> tuple[str, ...]:
        """Stages of the plan's labour."""
        return tuple(dict.fromkeys(line.stage for line in hour_lines(self.lines)))


def names_of_piece(plan: Priced) -> Names:
    """The names of a priced job."""
    return Names(
        lines=plan.lines,
        people=tuple(plan.shop.pay),
        machines=tuple(plan.shop.machine),
        laminates=tuple(part.part for part in LAMINATE.of(plan.job)),
        payments=tuple(payment.name for payment in plan.payments),
        spent_on=(),
        digits=plan.digits,
    )


def names_of_shop(brief: Brief, digits: int) -> Names:
    """The names of a shop file."""
    shop = brief.shop
    rows = tuple(name for name in shop.overhead if name != "billable_hours")
    return Names((), tuple(shop.pay), machines=(), laminates=(), payments=(), spent_on=rows, digits=digits)


def hour_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines that hours of people fill."""
    return [line for line in lines if line.of_people]


def machine_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines that hours of machines fill."""
    return [line for line in lines if line.trade == "machine"]


def used_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines of material, which something used fills."""
    return [line for line in lines if line.material]


def paid_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines that something paid fills: material, outside work, carriage."""
    return [line for line in lines if line.from_outside or line.trade == "carriage"]


def task_of(line: PricedLine) -> str:
    """What is done on a line of hours, as part of a name: the operation, or the work itself."""
    rest, _, last = line.id.rpartition(".")
    return slug(rest.partition(".")[2] if last == "hours" else last)


def matching(
    lines: Iterable[PricedLine], *, line: str = "", task: str = "", part: str = "", item: str = ""
) -> list[PricedLine]:
    """Lines that fit every name given; an id alone decides."""
    if line:
        return [one for one in lines if one.id == line]
    return [
        one
        for one in lines
        if (not task or task_of(one) == slug(task))
        and (not part or slug(one.part) == slug(part))
        and (not item or key(item) in (key(one.item), key(one.part)))
    ]


def of_stage(line: PricedLine) -> bool:
    """True for hours of which only the stage is known."""
    return line.id.startswith(f"{BY_STAGE}.")


def rate_of(plan: Priced, name: str) -> float:
    """An hour's rate of the plan [money/h], such as "pay.owner" or "machine.router"; 0 for a name it lacks."""
    return next((rate.per_hour for rate in plan.rates if rate.name == name), 0.0)
