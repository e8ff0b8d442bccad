"""What is held of every input of a build now: what its entries taught, and the files for all else."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.forecast.learnt import learnt
from quoting.forecast.progress import done_so_far
from quoting.forecast.setbacks import with_setbacks
from quoting.pick import draws, known, likely, listening

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from quoting.forecast.build import Build
    from quoting.forecast.learnt import Learnt
    from quoting.forecast.progress import Done
    from quoting.values import Pick, Uncertain


class Held(NamedTuple):
    """Draws of a build as it is held now: the pick that reads them, the inputs it was asked for, what was learnt."""

    pick: Pick
    heard: dict[str, Uncertain]
    streams: dict[str, NDArray[np.float64]]
    learnt: Learnt
    done: Done


def held_now(build: Build, seed: int, count: int) -> Held:
    """Draws of every input of a build, read as the entries have taught."""
    taught = learnt(build, seed, count)
    middle = known({name: taught.after.middle(name) for name in taught.after.names}, likely)
    done = done_so_far(build, middle)
    heard: dict[str, Uncertain] = {}
    streams: dict[str, NDArray[np.float64]] = {}
    pick = with_setbacks(build, known(taught.streams, draws(seed, count, streams)), done.hours)
    streams.update(taught.streams)
    return Held(listening(pick, heard), heard, streams, taught, done)
