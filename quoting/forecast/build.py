"""A piece in its build, ready to be reckoned on: its brief, its lines as filled, and how far each laminate is."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from quoting.costing.model import Cost, cost
from quoting.job.brief import Brief
from quoting.logbook.filled import Filled, filled
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

    def line_rounds(self, id: str) -> int:
        """Of how many rounds pressed so far a line does not tell: 0 where it tells of all, or was not logged."""
        mine = next((one for one in self.pressed if id.startswith(f"laminate.{one.id}.")), None)
        return 0 if mine is None else mine.rounds - mine.covered.get(id, mine.rounds)


def build_of(piece: Piece, brief: Brief) -> Build:
    """A piece as its entries leave it. Several panels of one name cannot be told apart: their rounds are not followed."""
    lines = filled(piece.plan, piece.holding, piece.standing, piece.former)
    names = Counter(part.part for part in LAMINATE.of(brief.job))
    alone = [part for part in LAMINATE.of(brief.job) if names[part.part] == 1]
    parts = alone if brief.job.piece.quantity == 1 else ()
    begun = tuple(filter(None, (pressed(part, piece.plan, piece.holding) for part in parts)))
    progress = Progress(piece.holding, piece.standing)
    ended = frozenset(one.id for one in begun if _is_ended(one.id, lines, progress))
    found = Build(piece, brief, lines, progress, begun, frozenset(), ended)
    growing: set[str] = set()
    now = quantities(so_far(found, likely)) if begun else {}
    for one in begun:
        then = quantities(stopped(found, likely, Stop(one.id, 1, _further(brief, one.id))))
        mine = (id for id in now if id.startswith(f"laminate.{one.id}."))
        growing.update(id for id in mine if now[id] != then[id])
    return replace(found, by_round=frozenset(growing))


def _is_ended(id: str, lines: Sequence[Filled], progress: Progress) -> bool:
    """True where laying is behind, or hours of the last flattening are logged."""
    flattened = [one for one in lines if one.line.id.startswith(f"laminate.{id}.flatten-")]
    last = max((one.line.id.partition("flatten-")[2].partition("-")[0] for one in flattened), default="")
    done = any(
        one.logged
        for one in flattened
        if one.line.id.endswith((f"flatten-{last}", f"flatten-{last}-machine"))
    )
    laying = next((one for one in lines if one.line.id == f"laminate.{id}.laying"), None)
    return done or (laying is not None and progress.behind(laying.line))


def _further(brief: Brief, id: str) -> float:
    """So many plies that every kind of them comes to its turn, and every roll is cut again."""
    part = next(part for part in LAMINATE.of(brief.job) if part.id == id)
    lay = lay_up(part, brief.shop, brief.tables, likely)
    return part.block * len(part.ply) * lay.layout.abreast


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
        if stop is not None and stop.part == one.id:
            rounds, laid = rounds + stop.more, laid + stop.more * stop.plies
        found[f"laminate.{one.id}.{PRESSED}"], found[f"laminate.{one.id}.{LAID}"] = float(rounds), laid
    return found


def whole(build: Build, pick: Pick) -> Cost:
    """The model of the whole piece, rounds pressed so far counted as they were; nothing more is laid where laying has ended."""
    parts = tuple(
        replace(part, thickness=0.0) if part.id in build.ended else part
        for part in LAMINATE.of(build.brief.job)
    )
    brief = replace(build.brief, job=LAMINATE.put(build.brief.job, parts))
    return cost(brief, known(facts(build), pick))


def so_far(build: Build, pick: Pick, back: int = 0) -> Cost:
    """The model if every laminate that is begun were left as it is now, or was `back` rounds ago."""
    left = pressed_only(build.brief, frozenset(one.id for one in build.pressed))
    return cost(left, known(facts(build, back), pick))


def stopped(build: Build, pick: Pick, stop: Stop) -> Cost:
    """The model if one laminate were left as it is after some rounds more; the others go on to their plan."""
    return cost(pressed_only(build.brief, frozenset({stop.part})), known(facts(build, stop=stop), pick))


def pressed_only(brief: Brief, ids: frozenset[str]) -> Brief:
    """The brief in which nothing more is laid on the laminates named, and none of them is flattened."""
    parts = tuple(
        replace(part, thickness=0.0, flatten=()) if part.id in ids else part
        for part in LAMINATE.of(brief.job)
    )
    return replace(brief, job=LAMINATE.put(brief.job, parts))


def quantities(run: Cost) -> dict[str, Num]:
    """Quantity of every line of a run, by its id."""
    return {line.id: line.quantity for line in run.lines}
