"""A search that can be ended: by a clock, or by a key; the best so far is kept."""

from __future__ import annotations

import signal
from contextlib import contextmanager
from time import monotonic
from typing import TYPE_CHECKING, Any

from quoting.nesting.pattern import USUAL

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.nesting.pattern import Limit


class Halt:
    """Ends searches. `interrupted` where it was a key that did so."""

    def __init__(self, seconds: float | None) -> None:
        self._until = None if seconds is None else monotonic() + seconds
        self.interrupted = False

    def limit(self, plans: int) -> Limit:
        """The limit of the next of so many plans: the usual one; with a clock, larger and larger searches after it, within the plan's
        share of the time that is left.
        """
        if self._until is None:
            return USUAL._replace(halted=lambda: self.interrupted)
        now = monotonic()
        until = now + (self._until - now) / plans

        def over() -> bool:
            return self.interrupted or monotonic() > until

        return USUAL._replace(halted=over, again=lambda: not over())

    def pressed(self, *_: Any) -> None:
        """The key was pressed: who presses twice will not wait for a plan."""
        if self.interrupted:
            raise KeyboardInterrupt
        self.interrupted = True


@contextmanager
def halting(seconds: float | None) -> Iterator[Halt]:
    """While it lasts, the first Ctrl-C asks the search to end; the second one ends the command."""
    halt = Halt(seconds)
    before = signal.signal(signal.SIGINT, halt.pressed)
    try:
        yield halt
    finally:
        signal.signal(signal.SIGINT, before)
