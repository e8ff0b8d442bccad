"""Reading the fields of one saying, with everything that is wrong in them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar

from quoting.errors import Problem, Reading

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from quoting.review.known import Known
    from quoting.review.said import Said

T = TypeVar("T")


@dataclass(slots=True)
class Reader:
    """Reads the fields of one saying; what is wrong is collected, and a stand-in is given in its place."""

    said: Said
    known: Known
    today: date
    problems: list[Problem] = field(default_factory=list)

    def read(self, name: str, reader: Callable[[], T]) -> T | None:
        """What a field holds; None, and a problem noted, where it cannot be read."""
        try:
            return reader()
        except Reading as reading:
            self.problems.append(Problem(name, reading.found, reading.write))
            return None

    def wrong(self, name: str, found: str, write: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(name, found, write))
