"""Tables in CSV: the reference tables shipped with the tool, every row with its source; and those that a maker keeps."""

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import NamedTuple, TypeVar

from quoting.errors import Problem, Reading
from quoting.values import INCH_M, Yield, key

T = TypeVar("T")


class Material(NamedTuple):
    """A timber or a metal: density [kg/m3], of timber at 12 % moisture."""

    name: str
    density_kg_m3: float


class Fibre(NamedTuple):
    """A reinforcement: density [kg/m3] and the usual band of fibre fraction."""

    name: str
    density_kg_m3: float
    fraction_low: float
    fraction_high: float


class Pane(NamedTuple):
    """A nominal glass thickness [m], the inch size it is sold as [m], its mass per area [kg/m2]."""

    thickness_m: float
    inch_m: float
    mass_kg_m2: float


@dataclass(frozen=True, slots=True)
class Tables:
    """All reference tables, by the name a maker writes; and what a cut plan found for parts, by their path."""

    species: Mapping[str, Material]
    fibres: Mapping[str, Fibre]
    metals: Mapping[str, Material]
    panes: tuple[Pane, ...]
    yields: Mapping[str, tuple[Yield, ...]] = field(default_factory=dict)


def reference(*path: str) -> str:
    """The text of a file that comes with the tool for reference."""
    return files("quoting").joinpath("reference", *path).read_text(encoding="utf-8")


def reference_rows(table: str) -> list[dict[str, str]]:
    """The rows of a table that comes with the tool, by column."""
    return list(csv.DictReader(reference(f"{table}.csv").splitlines()))


@cache
def tables() -> Tables:
    """The shipped reference tables."""
    species: dict[str, Material] = {}
    for row in reference_rows("species"):
        entry = Material(row["species"], float(row["density_kg_m3"]))
        for name in [row["species"], *filter(None, row["also"].split(";"))]:
            species[key(name)] = entry
    return Tables(
        species=species,
        fibres={
            key(row["fibre"]): Fibre(row["fibre"], *(float(row[name]) for name in Fibre._fields[1:]))
            for row in reference_rows("fibres")
        },
        metals={
            key(row["metal"]): Material(row["metal"], float(row["density_kg_m3"]))
            for row in reference_rows("metals")
        },
        panes=tuple(
            Pane(
                float(row["nominal_mm"]) / 1000,
                float(Fraction(row["inch"])) * INCH_M,
                float(row["mass_kg_m2"]),
            )
            for row in reference_rows("glass")
        ),
    )


def with_own_species(shipped: Tables, own: Mapping[str, float]) -> Tables:
    """The tables with a shop's own timbers: densities at 12 % moisture [kg/m3] by name."""
    species = {key(name): Material(name, density) for name, density in own.items()}
    return replace(shipped, species={**shipped.species, **species})


class Row(NamedTuple):
    """The cells of a line by column, the number of the line, and the position among the rows from 0 on."""

    cells: dict[str, str]
    line: int
    position: int


def rows(text: str, columns: Sequence[str], format_asked: bool = True) -> tuple[list[Row], list[Problem]]:
    """Rows of a table that begins with its format, unless that is not asked for, and its header; and what is wrong with it
    (without file names).
    """
    lines = text.lstrip("\ufeff").splitlines()
    first = 1 if lines and lines[0].replace(" ", "").rstrip(",") == "#format=1" else 0
    if not first and (format_asked or not lines):
        wanted = "write # format = 1 in the first line"
        return [], [Problem.of("format", "found no format", wanted, "format").at("", 1)]
    header = [cell.strip() for cell in (_cells(lines[first]) or [])] if len(lines) > first else []
    at = first + 1
    if header != list(columns):
        said = f"found {','.join(header)}", f"write {','.join(columns)}"
        if any(";" in cell for cell in header):
            said = "found semicolons", "write commas between columns"
        return [], [Problem.of("header", *said, "layout", found=header, wanted=columns).at("", at)]
    found: list[Row] = []
    problems: list[Problem] = []
    for line, words in enumerate(lines[at:], start=at + 1):
        if words.strip(" ,") and not words.lstrip().startswith("#"):
            row = _row(words, line, len(found) + len(problems), columns)
            if isinstance(row, Row):
                found.append(row)
            else:
                problems.append(row)
    return found, problems


class Cells:
    """Reads the cells of a row; `problems` grows by those that cannot be read, and `wrong` is true from then on."""

    def __init__(self, row: Row, name: str, problems: list[Problem]) -> None:
        self.row, self.name, self.problems, self.wrong = row, name, problems, False

    def read(self, column: str, reader: Callable[[str], T]) -> T | None:
        """The cell of a column; None, and a problem noted, where it cannot be read."""
        try:
            return reader(self.row.cells[column])
        except Reading as reading:
            self.note(column, reading.problem(f"{self.name or 'row'}.{column}"))
            return None

    def note(self, column: str, problem: Problem) -> None:
        """Note what is wrong in a column of the row."""
        self.problems.append(problem.at("", self.row.line, (self.row.position, column)))
        self.wrong = True


def _row(words: str, line: int, position: int, columns: Sequence[str]) -> Row | Problem:
    cells = _cells(words)
    if cells is None:
        found, wanted = f"found a quote left open in {words[:40]}", "write quotes in pairs, or none"
        return Problem.of("row", found, wanted, "layout", found=words[:40]).at("", line, (position,))
    if len(cells) > len(columns):
        found, wanted = f"found {len(cells)} columns", f"write {len(columns)}, text with commas in quotes"
        problem = Problem.of(
            cells[0] or "row", found, wanted, "layout", found=len(cells), wanted=len(columns)
        )
        return problem.at("", line, (position,))
    cells += [""] * (len(columns) - len(cells))
    named = dict(zip(columns, (cell.strip() for cell in cells), strict=True))
    return Row(named, line, position)


def _cells(text_line: str) -> list[str] | None:
    """The cells of one line; None where a quote is left open. A row is a line: an open quote must not
    swallow the rows below it.
    """
    try:
        return next(csv.reader([text_line], strict=True))
    except csv.Error:
        return None
