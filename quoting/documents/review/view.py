"""What every writer of a review shows: rows of the statement, of money and of lines, in the maker's words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.forecast.build import Build
from quoting.measures.showing import per_cent
from quoting.review.bridge import STEPS, Spent, stage_of, stages_logged
from quoting.review.causes import Cause, line_name, sentence
from quoting.review.statement import Statement

if TYPE_CHECKING:
    Money = Callable[[Decimal], str]

LEAST_SHARE = 0.005  # of what went missing: a cause below it is not worth a sentence
MOST_DETAILS = 4
DIFFERENT = ("planned", "actual", "first", "second")  # the amounts of a difference


class Told(NamedTuple):
    """A cause as it is told: its sentence, and its largest lines with what each did to the margin."""

    cause: Cause
    words: str
    details: tuple[tuple[str, Decimal], ...]


def told(build: Build, found: Statement, money: Money) -> Iterator[Told]:
    """Causes worth a sentence, the dearest first, gains last."""
    least = float(found.missing or max((one.effect for one in found.causes), default=0)) * LEAST_SHARE
    for one in found.causes:
        if abs(float(one.effect)) >= least:
            details = [(d.words, d.effect) for d in one.details[:MOST_DETAILS]]
            rest = one.details[MOST_DETAILS:]
            if rest:
                details.append((f"{len(rest)} more", sum((d.effect for d in rest), Decimal(0))))
            yield Told(one, sentence(build, found.missing, one, money), tuple(details))


def bridge_rows(found: Statement) -> Iterator[tuple[str, Decimal, bool]]:
    """The bridge in printed order: words, amount, whether it is an end of it."""
    yield "margin quoted, the reserve counted as cost", found.way.quoted, True
    for name, words in STEPS.items():
        yield words, found.way.steps[name], False
    yield "margin earned", found.way.actual, True


def money_rows(found: Statement) -> Iterator[tuple[str, Decimal]]:
    """What the piece left in money, and what it means."""
    yield "overhead that it bore", found.overhead
    yield "margin before any overhead", found.without_overhead
    yield "in hand after tax, fees and all cash", found.in_hand
    if found.an_hour is not None:
        yield f"earned by each of {found.own_hours:.1f} own hours, all else paid", found.an_hour
    yield "material, at what it is worth", found.material_worth
    yield "of that bought for money", found.material_bought
    if found.from_stock:
        yield "of that from your own stock, no money now", found.from_stock
    if found.given:
        yield "gain on material that was given: worth this, paid nothing", found.given
    if found.not_recorded:
        count = len(found.lines_not_recorded)
        lines, share = f"{count} {'line' if count == 1 else 'lines'}", per_cent(found.recorded_share, 0)
        words = f"not recorded ({lines}), taken at the plan of what was done: {share} of the cost is recorded"
        yield words, found.not_recorded


def judged(over: Decimal) -> str:
    """F/U in words."""
    return "over plan" if over > 0 else "under plan" if over < 0 else "as planned"


class Difference(NamedTuple):
    """A line that was not as planned: its usage or time, and its price or rate over the plan [money]."""

    name: str
    planned: Decimal
    actual: Decimal
    first: Decimal
    second: Decimal
    recorded: bool

    @property
    def over(self) -> Decimal:
        """Actual less planned [money]."""
        return self.actual - self.planned


def differences(found: Statement) -> list[Difference]:
    """Lines that differ from the plan, the largest difference first. Hours of which only the stage is known are one line with
    the tasks that they stand for.
    """
    stages = stages_logged(found.lines)
    rows: dict[str, Difference] = {}
    for one in found.lines:
        stage = stage_of(one, stages)
        name = f"{stage} work, not told apart" if stage else named(one)
        second = sum((amount for kind, amount in one.parts.items() if kind in ("price", "pay")), Decimal(0))
        first, recorded = one.over - second, one.recorded or bool(stage)
        row = Difference(name, one.planned, one.actual, first, second, recorded)
        key = name if stage else one.line.id
        if before := rows.get(key):
            both = {money: getattr(before, money) + getattr(row, money) for money in DIFFERENT}
            row = before._replace(**both)
        rows[key] = row
    return sorted((row for row in rows.values() if row.over), key=lambda row: -abs(row.over))


def named(one: Spent) -> str:
    """A line by its name, with the part it belongs to where the name does not say it."""
    name, part = line_name(one), one.line.part
    return name if part == "the job" or part in name else f"{name} ({part})"
