"""What a piece in its build has taught about its uncertain inputs, and draws of them as they are held now."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from quoting.forecast.measured import Runs, measures
from quoting.inputs.dimension_at import dimension_at
from quoting.pick import draws, known, likely, listening
from quoting.risk.updating import held, moved, told

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from quoting.forecast.build import Build
    from quoting.risk.updating import Belief
    from quoting.values import Num, Uncertain


class Lesson(NamedTuple):
    """An input before and now: what half of all builds stay below, and the standard deviation as a share of it.

    Values are in the canonical unit of its `dimension`.
    """

    name: str
    words: str
    dimension: str
    before: float
    before_spread: float
    now: float
    now_spread: float


class Learnt(NamedTuple):
    """Belief before and after what was measured; draws of what was learnt and of all else, arrays of shape (draws,)."""

    before: Belief
    after: Belief
    streams: Mapping[str, NDArray[np.float64]]

    def lessons(self, build: Build, least: float) -> tuple[Lesson, ...]:
        """Inputs of which the entries tell something: less unsure by at least this share. The surest gain comes first."""
        found = [
            Lesson(
                name,
                build.brief.written(name),
                dimension_at(build.brief, name),
                self.before.middle(name),
                self.before.spread(name),
                self.after.middle(name),
                self.after.spread(name),
            )
            for name in self.before.names
        ]
        gained = [one for one in found if one.now_spread <= one.before_spread * (1 - least)]
        return tuple(sorted(gained, key=lambda one: one.now_spread / one.before_spread))


def learnt(build: Build, seed: int, count: int) -> Learnt:
    """Update what is held of the inputs that bear on anything measured.

    Inputs that may be nothing have no logarithm, and coins no middle: those are left as they are.
    """
    watched = measures(build)
    heard: dict[str, Uncertain] = {}
    runs = Runs(build, listening(likely, heard))
    for one in watched:
        one.expected(runs)
    streams: dict[str, NDArray[np.float64]] = {}
    pick = draws(seed, count, streams)
    names = sorted(name for name, given in heard.items() if not given.coin and given.low > 0)
    for name in names:
        pick(replace(heard[name], cause=None))
    before = held(streams, names)

    def expected(values: Mapping[str, Num]) -> Sequence[Num]:
        run = Runs(build, known(values, likely))
        return [one.expected(run) for one in watched]

    after = told(before, expected, [one.value for one in watched], [one.spread for one in watched])
    return Learnt(before, after, moved(before, after, streams))
