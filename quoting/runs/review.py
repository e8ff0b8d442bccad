"""Where finished pieces made or lost money: one, from the ledger or from round totals, and all of a shop together."""

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.errors import Problem, Problems
from quoting.forecast.build import Build, build_of
from quoting.job.job import Actuals
from quoting.job.load import load_shop
from quoting.job.validate import validated
from quoting.ledger import quotes
from quoting.ledger.states import ENDED, OWN_STOCK
from quoting.ledger.store import reading
from quoting.logbook.coarse import actuals_problems, coarse_piece
from quoting.logbook.piece import piece_of
from quoting.pricing.record import Priced
from quoting.reading.locate import lines_of
from quoting.reading.sources import read_toml
from quoting.review.pieces import Calibration, Compared, Year, calibration, compared, years
from quoting.review.statement import Statement, statement
from quoting.runs.as_quoted import brief_of
from quoting.runs.learn import Proposal, finished, proposals
from quoting.runs.of_gone_trades import lost
from quoting.runs.pricing import check, priced_alone
from quoting.written import write_all


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
        sections = [(section, rest) for section, _, rest in (one.field.partition(".") for one in wrong)]
        paths = [[section, int(rest) - 1 if rest.isdigit() else rest] for section, rest in sections]
        lines = lines_of(source.text, paths)
        raise Problems([one.at(source.name, line) for one, line in zip(wrong, lines, strict=True)])
    found: Actuals = totals
    return found


def _written(found: Reviewed, papers: Papers, origin: str) -> Reviewed:
    """With the paper for the maker and the workbook, where a folder is named."""
    if papers.out is None:
        return found
    from quoting.documents.pictures.review import review_pictures
    from quoting.documents.pictures.writers import files_of
    from quoting.documents.review.papers import review_book_bytes, review_pdf_bytes

    files = {
        f"{found.name} review.pdf": review_pdf_bytes(found.name, found.build, found.statement),
        f"{found.name} review.xlsx": review_book_bytes(found.name, found.build, found.statement),
    }
    if papers.pictures:
        for name, figure in review_pictures(found.build.piece.plan, found.statement).items():
            files |= files_of(f"{found.name} {name}", figure)
    return found._replace(written=write_all(papers.out, files, origin, papers.overwrite))


class AllPieces(NamedTuple):
    """All finished pieces of a shop: tables by currency, bands, standards that are wrong, overhead by year."""

    currency: str
    tables: dict[str, Compared]
    calibration: Calibration
    standards: tuple[Proposal, ...]
    years: tuple[Year, ...]
    left_out: tuple[str, ...]
    unread: tuple[str, ...]


def review_all(folder: Path, step: Callable[[str], None]) -> AllPieces:
    """What all finished pieces say together. Raises Problems where none is finished."""
    brief = load_shop(folder)
    everything = finished(folder, step)
    if not (everything.builds or everything.given_up or everything.unread):
        wanted = "mark one built: quoting mark NUMBER built"
        raise Problems([Problem("", "found no finished piece in the ledger", wanted)])
    step("comparing")
    statements = [(build, statement(build)) for build in (*everything.builds, *everything.given_up)]
    least = brief.shop.warnings.recorded_share
    recorded, left_out, unsold = [], [], []
    counted: dict[str, list[tuple[Build, Statement]]] = {}
    for build, found in statements:
        number = build.piece.number
        if found.recorded_share < least:
            share = f"{found.recorded_share:.0%}"
            left_out.append(f"{number}: only {share} of its cost is recorded, it does not count")
            continue
        recorded.append((build, found))
        if build.piece.standing.deal in OWN_STOCK:
            unsold.append(f"{number}: not sold, it does not count")
        else:
            counted.setdefault(build.piece.plan.currency, []).append((build, found))
    currency = brief.shop.shop.currency
    own = (one for one in everything.pieces if one.plan.currency == currency)
    return AllPieces(
        currency=currency,
        tables={name: compared(those) for name, those in counted.items()},
        calibration=calibration(
            [one for one in recorded if one[0].piece.standing.built and not lost(one[0].piece.plan)]
        ),
        standards=proposals(everything, brief),
        years=tuple(years(own, everything.shop, brief.shop)),
        left_out=(*left_out, *unsold, *everything.untaught),
        unread=everything.unread,
    )
