"""Records of the bench: the parts to cut, the pours and coats to mix, the steps that fill the days."""

import math
from datetime import date
from typing import NamedTuple

from quoting.takeoff.mixing import Mix
from quoting.takeoff.numbers import TOLERANCE


class Cut(NamedTuple):
    """A part: `path` begins the ids of its lines; sides in m, none where a part has none.

    No `pieces` where lines say how much there is. `rough_m` is one blank: of timber before planing, of a laminate before trimming. It is glued up from
    `staves` in width (0: a cut plan says how many), and from `layers` of it in thickness.
    """

    path: str
    trade: str
    part: str
    pieces: int
    finished_m: tuple[float, ...]
    rough_m: tuple[float, ...]
    staves: int = 1
    layers: int = 1


class PourCard(NamedTuple):
    """A casting or a coating, counted `times` times: so many pours or coats alike, and the mix of one.

    `depth_m` is the depth of one, None where the job gives none; `deepest_m` what the resin allows [m].
    """

    path: str
    trade: str
    part: str
    times: int
    resin: str
    steps: int
    mix: Mix
    depth_m: float | None
    deepest_m: float
    working_h: float
    cure_h: float


class Step(NamedTuple):
    """Something that fills days: from and to in days after the order, which is day 0 [d].

    `kind` is "order", "lead", "booked", "bench", "finishing", "ready", or what a trade calls its steps; `part` the
    id of the part, or what is waited for. `hours` is labour in it, or the cure or drying that ends it [h].
    """

    kind: str
    what: str
    number: int
    steps: int
    starts_d: float
    ends_d: float
    hours: float = 0.0
    part: str = ""

    def first_day(self, order: date) -> date:
        """The day on which it starts."""
        return _later(order, math.floor(self.starts_d + TOLERANCE))

    def last_day(self, order: date) -> date:
        """The day by which it is over: what ends within a day counts the whole of it."""
        return _later(order, math.ceil(self.ends_d - TOLERANCE))


def _later(order: date, days: int) -> date:
    return date.fromordinal(min(order.toordinal() + days, date.max.toordinal()))
