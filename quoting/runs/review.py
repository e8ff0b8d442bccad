"""Where a finished piece made or lost money: from the ledger, or from round totals."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, Problems
from quoting.forecast.build import build_of
from quoting.job.job import Actuals
from quoting.job.validate import validated
from quoting.ledger import quotes
from quoting.ledger.states import ENDED
from quoting.ledger.store import reading
from quoting.logbook.coarse import actuals_problems, coarse_piece
from quoting.logbook.piece import piece_of
from quoting.reading.locate import lines_of
from quoting.reading.sources import read_toml
from quoting.review.statement import statement
from quoting.runs.as_quoted import brief_of
from quoting.runs.pricing import check, priced_alone
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from quoting.forecast.build import Build
    from quoting.pricing.record import Priced
    from quoting.reading.sources import Source
    from quoting.review.statement import Statement


class Papers(NamedTuple):
    """Where papers are written, if anywhere; whether over changed ones, and with each picture as a file of its own."""

    out: Path | None
    overwrite: bool
    pictures: bool


class Reviewed(NamedTuple):
    """A piece under the `name` it is known by, with its statement; `coarse` where it rests on round totals. Files written on wish."""

    name: str
    build: Build
    statement: Statement
    coarse: bool
    written: list[Path]


def review(folder: Path, name: str, papers: Papers) -> Reviewed:
    """The statement of a piece of the ledger. Raises Problems for one that is not built yet."""
    with reading(folder) as book:
        piece = piece_of(book, quotes.asked(book, name))
        there = piece.standing
        if not there.built and there.deal not in ENDED:
            found = f'{piece.number} is "{there.words}": it is not built yet'
            raise Problems([Problem("", found, f"see where it stands: quoting standing {piece.number}")])
        brief = brief_of(book, piece, folder)
    build = build_of(piece, brief)
    found_in = f"{folder.resolve()} {piece.number}"
    return _written(Reviewed(str(piece.number), build, statement(build), False, []), papers, found_in)


def review_totals(
    job: Path, actuals: Path, shop: Path | None, settings: Sequence[str], papers: Papers
) -> Reviewed:
    """The statement of a piece that was never logged, against its job as it would be priced for its day."""
    checked = check(job, shop, settings)
    plan = priced_alone(checked)
    totals = _read(actuals, plan)
    build = build_of(coarse_piece(plan, totals, date.today()), checked.brief)
    return _written(Reviewed(job.stem, build, statement(build), True, []), papers, str(job.resolve()))


def _read(path: Path, plan: Priced) -> Actuals:
    source = read_toml(path)
    totals, problems = validated(source, Actuals, source.raw)
    if totals is None or problems:
        raise Problems(problems)
    if wrong := list(actuals_problems(plan, totals)):
        raise Problems(_placed(source, wrong))
    found: Actuals = totals
    return found


def _placed(source: Source, problems: list[Problem]) -> list[Problem]:
    """Problems with the lines of their fields."""
    paths: list[list[str | int]] = []
    for one in problems:
        section, _, rest = one.field.partition(".")
        paths.append([section, int(rest) - 1 if rest.isdigit() else rest])
    lines = lines_of(source.text, paths)
    return [one.at(source.name, line) for one, line in zip(problems, lines, strict=True)]


def _written(found: Reviewed, papers: Papers, origin: str) -> Reviewed:
    """With the paper for the maker and the workbook, where a folder is named."""
    if papers.out is None:
        return found
    from quoting.documents.pictures.review import review_pictures
    from quoting.documents.pictures.writers import files_of
    from quoting.documents.review.pdf import review_pdf_bytes
    from quoting.documents.review.workbook import review_book_bytes

    files = {
        f"{found.name} review.pdf": review_pdf_bytes(found.name, found.build, found.statement),
        f"{found.name} review.xlsx": review_book_bytes(found.name, found.build, found.statement),
    }
    if papers.pictures:
        for name, figure in review_pictures(found.build.piece.plan, found.statement).items():
            files |= files_of(f"{found.name} {name}", figure)
    return found._replace(written=write_all(papers.out, files, origin, papers.overwrite))
