"""How long a plan is bettered. Counted in what is looked at, so that a plan is the same on every machine and every day."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable


def never() -> bool:
    """Nobody waits."""
    return False


class Limit(NamedTuple):
    """Free regions that a search looks at, orders it tries in vain, at most and for each piece, branches of a choice among patterns;
    `halted` is asked now and then, and ends the plan at the best so far: a clock, or someone who has waited long enough. `again` is
    asked after a plan that may not be the best: whether there is time for a larger search.
    """

    regions: int = 22_000_000
    in_vain: int = 12_000
    in_vain_each: int = 600
    branches: int = 10
    halted: Callable[[], bool] = never
    again: Callable[[], bool] = never

    def times(self, many: int) -> Limit:
        """So many times the effort."""
        return self._replace(
            regions=self.regions * many,
            in_vain=self.in_vain * many,
            in_vain_each=self.in_vain_each * many,
            branches=self.branches * many,
        )


USUAL = Limit()


def usual(plans: int) -> Limit:  # noqa: ARG001
    """The limit of the next of so many plans that are still to be made: the same for each."""
    return USUAL
