"""A piece in its build: how far it is, the one model run for parts of it, and its earned value."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from quoting.costing.model import Cost, cost
from quoting.errors import Problem, Problems
from quoting.job.brief import Brief
from quoting.logbook.filled import Filled, filled, following, follows, stage_hours
from quoting.logbook.piece import Piece
from quoting.logbook.plan_lines import Progress
from quoting.logbook.pressed import Pressed, pressed
from quoting.pick import known, likely
from quoting.trades.laminate import LAMINATE
from quoting.trades.laminate.rounds import LAID, PRESSED, lay_up
from quoting.values import Num, Pick


@dataclass(frozen=True, slots=True)
class Build:
    """A piece in its build. `by_round` are lines that grow with every bagging round, of laminates that are begun; `ended`
    are laminates on which nothing more is laid: laying is marked as done, flattened after it, or the piece is past it.
    """

    piece: Piece
    brief: Brief
    lines: tuple[Filled, ...]
    progress: Progress
    pressed: tuple[Pressed, ...]
    by_round: frozenset[str]
    ended: frozenset[str]

    def panel_of(self, id: str) -> Pressed | None:
        """The laminate that a line belongs to, of those that are begun."""
        return next((one for one in self.pressed if id.startswith(one.lines)), None)

    def line_rounds(self, id: str) -> int:
        """Of how many rounds pressed so far a line does not tell: 0 where it tells of all, or was not logged."""
        mine = self.panel_of(id)
        return 0 if mine is None else mine.rounds - mine.covered.get(id, mine.rounds)


def build_of(piece: Piece, brief: Brief) -> Build:
    """A piece as its entries leave it. Several panels of one name cannot be told apart: their rounds are not followed."""
    lines = filled(piece.plan, piece.holding, piece.standing, piece.former)
    names = Counter(part.part for part in LAMINATE.of(brief.job))
    alone = [part for part in LAMINATE.of(brief.job) if names[part.part] == 1]
    parts = alone if brief.job.piece.quantity == 1 else ()
    begun = tuple(filter(None, (pressed(part, piece.plan, piece.holding) for part in parts)))
    progress = Progress(piece.holding, piece.standing)
    ended = frozenset(one.part.id for one in begun if _is_ended(one, lines, progress))
    found = Build(piece, brief, lines, progress, begun, frozenset(), ended)
    growing: set[str] = set()
    now = quantities(so_far(found, likely)) if begun else {}
    for one in begun:
        then = quantities(stopped(found, likely, Stop(one.part.id, 1, _further(brief, one))))
        growing.update(id for id in now if id.startswith(one.lines) and now[id] != then[id])
    return replace(found, by_round=frozenset(growing))


def _is_ended(panel: Pressed, lines: Sequence[Filled], progress: Progress) -> bool:
    """True where laying is behind, or hours of the last flattening are logged."""
    flattenings = {one.line.id: one for one in lines if one.line.id.startswith(f"{panel.lines}flatten-")}
    last = max((id.partition("flatten-")[2].partition("-")[0] for id in flattenings), default="")
    ends = (f"flatten-{last}", f"flatten-{last}-machine")
    laying = next((one.line for one in lines if one.line.id == f"{panel.lines}laying"), None)
    done = any(one.logged for id, one in flattenings.items() if id.endswith(ends))
    return done or (laying is not None and progress.behind(laying))


def _further(brief: Brief, panel: Pressed) -> float:
    """So many plies that every kind of them comes to its turn, and every roll is cut again."""
    part = panel.part
    return part.block * len(part.ply) * lay_up(part, brief.shop, brief.tables, likely).layout.abreast


class Stop(NamedTuple):
    """A laminate that is left as it is after so many `more` rounds, of so many plies each."""

    part: str
    more: int
    plies: float


def facts(build: Build, back: int = 0, stop: Stop | None = None) -> dict[str, Num]:
    """Plies laid and rounds pressed of the laminates that are begun, as inputs of the model: now, or `back` rounds ago."""
    found: dict[str, Num] = {}
    for one in build.pressed:
        rounds = max(one.rounds - back, 1)
        laid = one.plies * rounds / one.rounds
        if stop is not None and stop.part == one.part.id:
            rounds, laid = rounds + stop.more, laid + stop.more * stop.plies
        found[f"{one.lines}{PRESSED}"], found[f"{one.lines}{LAID}"] = float(rounds), laid
    return found


def whole(build: Build, pick: Pick) -> Cost:
    """The model of the whole piece, rounds pressed so far counted as they were; nothing more is laid where laying has ended."""
    return cost(_laid(build.brief, build.ended), known(facts(build), pick))


def so_far(build: Build, pick: Pick, back: int = 0) -> Cost:
    """The model if every laminate that is begun were left as it is now, or was `back` rounds ago."""
    left = pressed_only(build.brief, frozenset(one.part.id for one in build.pressed))
    return cost(left, known(facts(build, back), pick))


def stopped(build: Build, pick: Pick, stop: Stop) -> Cost:
    """The model if one laminate were left as it is after some rounds more; the others go on to their plan."""
    return cost(pressed_only(build.brief, frozenset({stop.part})), known(facts(build, stop=stop), pick))


def pressed_only(brief: Brief, ids: frozenset[str]) -> Brief:
    """The brief in which nothing more is laid on the laminates named, and none of them is flattened."""
    return _laid(brief, ids, flatten=())


def _laid(brief: Brief, ids: frozenset[str], **otherwise: Any) -> Brief:
    """The brief in which nothing more is laid on the laminates named, and which are `otherwise` in some of their fields."""
    parts = (
        replace(part, thickness=0.0, **otherwise) if part.id in ids else part
        for part in LAMINATE.of(brief.job)
    )
    return replace(brief, job=LAMINATE.put(brief.job, parts))


def quantities(run: Cost) -> dict[str, Num]:
    """Quantity of every line of a run, by its id."""
    return {line.id: line.quantity for line in run.lines}


class Done(NamedTuple):
    """Planned money of what is done [money], and the share of the planned hours that are worked off."""

    worth: float
    hours: float


def done_so_far(build: Build, pick: Pick) -> Done:
    """What is done of a piece: a line behind it whole; one that grows by rounds by what the rounds so far take of all;
    another by what is logged of what was planned. Overhead and sundries follow. `pick` reads the middle of every input.
    """
    model, begun = quantities(whole(build, pick)), quantities(so_far(build, pick))
    labour = [one.line for one in build.lines if one.line.trade == "labour"]
    planned: dict[str, float] = defaultdict(float)
    for line in labour:
        planned[line.stage] += line.quantity
    of_stage = {
        stage: hours / planned[stage] for stage, hours in stage_hours(build.lines).items() if planned[stage]
    }

    def share(one: Filled) -> float:
        """The share of a line that is done. Material that is bought is worth its money, used or not."""
        line = one.line
        if build.progress.behind(line):
            return 1.0
        if line.id in build.by_round and line.trade in ("labour", "machine"):
            return min(float(begun[line.id]) / float(model[line.id]), 1.0) if one.quantity > 0 else 0.0
        if not line.quantity:
            return 0.0
        if line.trade == "labour" and line.stage in of_stage:
            return min(of_stage[line.stage] + one.quantity / line.quantity, 1.0)
        return min(max(one.quantity, one.bought) / line.quantity, 1.0)

    shares = {one.line.id: share(one) for one in build.lines}
    own = [one.line for one in build.lines if one.line.supplied != "client" and not follows(one.line)]
    worked = _mean([(line.quantity, shares[line.id]) for line in labour])
    had = _mean([(float(line.amount), shares[line.id]) for line in own if line.material])
    worth = sum(float(line.amount) * shares[line.id] for line in own)
    for line, done in following(build.lines, worked, had):
        worth += float(line.amount) * float(done)
    return Done(worth, worked)


def _mean(weighted: Sequence[tuple[float, float]]) -> float:
    """The mean of shares, each with its weight before it; 0 where nothing weighs."""
    whole = sum(weight for weight, _ in weighted)
    return sum(weight * share for weight, share in weighted) / whole if whole else 0.0


class Earned(NamedTuple):
    """Figures of a project [money]: budget at completion BAC, earned value EV, actual cost AC, planned value PV.

    Formulas as in A Guide to the Project Management Body of Knowledge, chapter on cost control (from memory; worked
    examples in the tests).
    """

    bac: float
    ev: float
    ac: float
    pv: float

    @property
    def cv(self) -> float:
        """Cost variance [money]: EV - AC, below nothing where the work cost more than it was worth."""
        return self.ev - self.ac

    @property
    def sv(self) -> float:
        """Schedule variance [money]: EV - PV."""
        return self.ev - self.pv

    @property
    def cpi(self) -> float:
        """Cost performance index: EV / AC."""
        return self.ev / self.ac

    @property
    def spi(self) -> float:
        """Schedule performance index: EV / PV."""
        return self.ev / self.pv

    @property
    def eac_at_budget(self) -> float:
        """Estimate at completion where the rest costs what was planned [money]: AC + BAC - EV."""
        return self.ac + self.bac - self.ev

    @property
    def eac_at_present(self) -> float:
        """Estimate at completion where the rest goes as it went so far [money]: AC + (BAC - EV) / CPI."""
        return self.ac + (self.bac - self.ev) / self.cpi

    @property
    def eac_at_both(self) -> float:
        """Estimate at completion where the calendar presses as well [money]: AC + (BAC - EV) / (CPI x SPI)."""
        return self.ac + (self.bac - self.ev) / (self.cpi * self.spi)

    @property
    def tcpi(self) -> float:
        """To-complete index: (BAC - EV) / (BAC - AC), how well the rest must go to end at the plan. Infinite where
        the plan is spent already.
        """
        return (self.bac - self.ev) / (self.bac - self.ac) if self.bac > self.ac else float("inf")


def earned(*, bac: float, ev: float, ac: float, pv: float) -> Earned:
    """Earned value figures. Raises Problems where nothing was done or nothing was spent: there is nothing to compare."""
    found = {"earned value": (ev, "log what is done first"), "actual cost": (ac, "log what it cost first")}
    wrong = [
        Problem.of(name, "found nothing", write, "missing")
        for name, (value, write) in found.items()
        if value <= 0
    ]
    if wrong:
        raise Problems(wrong)
    return Earned(bac, ev, ac, pv)
