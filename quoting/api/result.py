"""What every answer is to a notebook or another program: frozen, as data, as a table, in a line, and to look at."""

from __future__ import annotations

import html
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from quoting.as_data.record import Data, dumped
from quoting.errors import one_line

if TYPE_CHECKING:
    from pandas import DataFrame

    from quoting.documents.pictures.marks import Figure

F = TypeVar("F")
MOST = 4
"""Figures that stand in one line."""


@dataclass(frozen=True, slots=True, repr=False)
class Result(Generic[F]):
    """An answer. `found` is the record that the recipe gave, with everything in it; what is asked for most has a name here."""

    found: F
    _rows: ClassVar[str] = ""

    def to_dict(self) -> Data:
        """The answer as plain data: the very object that --json prints at a terminal."""
        data: Data = json.loads(dumped(self._data()))
        return data

    def to_frame(self) -> DataFrame:
        """The rows of the answer as a table: one row for each line, driver, distance, piece."""
        from pandas import DataFrame

        return DataFrame.from_records(self._records())

    def __repr__(self) -> str:
        told = [f"{name} {words}" for name, words in islice(self._answer(), MOST)]
        return one_line(f"<{type(self).__name__} of {self._of()}: {', '.join(told)}>")

    def _repr_html_(self) -> str:
        """The answer for a notebook: its figures, and its picture where it has one."""
        rows = "".join(
            f"<tr><th style='text-align:left'>{html.escape(name)}</th>"
            f"<td style='text-align:right'>{html.escape(words)}</td></tr>"
            for name, words in self._answer()
        )
        figure = self._figure()
        return f"<div><b>{html.escape(self._of())}</b><table>{rows}</table>{_svg(figure)}</div>"

    def _data(self) -> Data:
        raise NotImplementedError

    def _records(self) -> list[Data]:
        found: list[Data] = self.to_dict()[self._rows]
        return found

    def _of(self) -> str:
        raise NotImplementedError

    def _answer(self) -> Iterator[tuple[str, str]]:
        raise NotImplementedError

    def _figure(self) -> Figure | None:
        return None


def _svg(figure: Figure | None) -> str:
    """A figure as a piece of a page; nothing where there is none."""
    if figure is None:
        return ""
    from quoting.documents.pictures.writers import svg_bytes

    return svg_bytes(figure).decode().partition("?>")[2]


def texts_of(settings: Mapping[str, object]) -> list[str]:
    """Values to try, each as path=value in the spelling of files."""
    return [
        f"{path}={str(value).lower() if isinstance(value, bool) else value}"
        for path, value in settings.items()
    ]


def quiet(_: object) -> None:
    """Nobody watches."""


def never() -> bool:
    """Nobody ends it."""
    return False
