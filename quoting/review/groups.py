"""Which standard the difference of a line is put down to: the input of the shop that can move it most, the others as they stand."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from quoting.forecast.build import Build, quantities, so_far, whole
from quoting.forecast.ends import spread_out, taken
from quoting.job.paths import shops_own
from quoting.logbook.filled import Filled
from quoting.pick import known, likely, listening, one_at_a_time
from quoting.trades.hardwood import HARDWOOD
from quoting.trades.laminate import LAMINATE
from quoting.values import Num, Pick, Uncertain

PACE, LEARNING, WASTE = "pace.factor", "laminate.learning", "timber.waste"
LEAST_SWING = 1e-9


class Group(NamedTuple):
    """Lines whose difference is put down to one input, and the name that it is learnt under."""

    given: Uncertain
    name: str
    lines: tuple[str, ...]
    taken: float


def recorded(build: Build) -> list[Filled]:
    """Lines behind the piece of which the ledger tells how much they took."""
    return [
        one
        for one in build.lines
        if (one.line.trade == "labour" or one.line.material)
        and one.logged
        and (build.progress.behind(one.line) or one.line.id in build.by_round)
        and (one.line.id in build.by_round or not _of_rounds(build, one))
        and _took(one) > 0
    ]


def _of_rounds(build: Build, one: Filled) -> bool:
    """True for a line of a laminate whose rounds nobody logged one by one: what it took tells of rounds as much as of standards."""
    return (
        one.line.id.startswith("laminate.")
        and ".flatten-" not in one.line.id
        and bool(LAMINATE.of(build.brief.job))
    )


def _took(one: Filled) -> float:
    """What a line took; of timber what was bought for the piece, where no use was logged."""
    return taken(one, behind=True) if one.line.trade == "hardwood" else one.quantity


def expected(build: Build, values: Mapping[str, Num]) -> dict[str, Num]:
    """Quantity of every line at values of inputs: of those that grow by rounds for the rounds pressed."""
    return _quantities(build, known(values, likely))


def _quantities(build: Build, pick: Pick) -> dict[str, Num]:
    found = quantities(whole(build, pick))
    begun = {
        back: quantities(so_far(build, pick, back)) for back in set(map(build.line_rounds, build.by_round))
    }
    return found | {id: begun[build.line_rounds(id)][id] for id in build.by_round}


def groups_of(build: Build, given: Mapping[str, float]) -> list[Group]:
    """Lines by the standard that their difference is put down to. `given` are values of inputs that are known, by name."""
    asked: dict[str, Uncertain] = {}
    _quantities(build, listening(known(given, likely), asked))
    inputs = [one for name, one in asked.items() if name != PACE and not one.coin]
    moved = _quantities(build, known(given, one_at_a_time(inputs)))
    found: dict[tuple[str, str], list[Filled]] = defaultdict(list)
    by_name = {one.name: one for one in inputs}
    for one in recorded(build):
        strongest = _strongest(one, moved, inputs)
        if strongest and shops_own(build.brief, strongest) and strongest != LEARNING:
            found[strongest, _learnt_as(build, strongest, one)].append(one)
    return [
        Group(
            by_name[source],
            name,
            tuple(one.line.id for one in lines),
            sum(_took(one) - one.spoiled for one in lines),
        )
        for (source, name), lines in found.items()
    ]


def _strongest(one: Filled, moved: Mapping[str, Num], inputs: Sequence[Uncertain]) -> str:
    """The input that moves a line most from its low to its high; "" where none does."""
    if one.line.id not in moved:
        return ""
    ends = spread_out(moved[one.line.id], 2 * len(inputs))
    swings = np.abs(ends[1::2] - ends[0::2])
    return inputs[int(np.argmax(swings))].name if len(swings) and float(np.max(swings)) > LEAST_SWING else ""


def _learnt_as(build: Build, name: str, one: Filled) -> str:
    """The name a standard is learnt under: waste belongs to the species."""
    if name != WASTE:
        return name
    part = next((p for p in HARDWOOD.of(build.brief.job) if one.line.id == f"hardwood.{p.id}.timber"), None)
    return name if part is None else f"species.{part.species}.waste"
