"""Builds: where one stands and how it will end; where finished ones made or lost money, one by one and together."""

from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.errors import refuse, refused, right
from quoting.forecast.build import Build, build_of
from quoting.forecast.forecast import Forecast, forecast
from quoting.job.job import Actuals
from quoting.job.load import load_shop
from quoting.job.validate import validated
from quoting.ledger import quotes
from quoting.ledger.states import AWAITING, BOUND, ENDED, OWN_STOCK
from quoting.ledger.store import reading
from quoting.logbook.piece import Piece, piece_of
from quoting.logbook.saying import day_of
from quoting.logbook.totals import actuals_problems, coarse_piece
from quoting.measures.showing import per_cent
from quoting.pricing.record import Priced
from quoting.reading.lines import lines_of
from quoting.reading.sources import read_toml
from quoting.review.pieces import Calibration, Compared, Year, calibration, compared, years
from quoting.review.statement import Statement, statement
from quoting.risk.drawn import seed_and_draws
from quoting.runs.as_quoted import brief_of, lost
from quoting.runs.learn import Proposal, finished, proposals, told
from quoting.runs.pricing import Tell, check, priced_alone
from quoting.runs.risk import refuse_draws
from quoting.runs.seen import Settings
from quoting.runs.shops import typed
from quoting.trades.registry import trades
from quoting.written import write_all


class Stands(NamedTuple):
    """A piece, the day, where it stands, and what its log leaves open."""

    piece: Piece
    day: date
    standing: Forecast
    notes: tuple[str, ...]


SEVERAL = "several pieces alike: the rounds of their panels are not followed one by one"

AS_QUOTED = "{} is not installed: what is still to come of its trade stands as it was quoted"


def standing(folder: Path, today: date, name: str, on: str, draws: int | None, seed: int | None) -> Stands:
    """Where a piece stands at the end of a day (`on`; "" for today); `draws` and `seed` else as job and shop say. Raises Problems for a
    piece on which nothing more will be done.
    """
    refuse_draws(draws, seed)
    with typed("on"):
        day = day_of(on, today)
    with reading(folder) as book:
        piece = piece_of(book, quotes.asked(book, name), day if on else None)
        _refuse_ended(piece)
        brief = brief_of(book, piece, folder)
    own_seed, own_draws = seed_and_draws(brief)
    found = forecast(build_of(piece, brief), day, own_seed if seed is None else seed, draws or own_draws)
    several = brief.job.piece.quantity > 1 and any(trades()[name].pressed for name in brief.job.parts)
    notes = [SEVERAL] if several else []
    notes += [AS_QUOTED.format(one.outside) for one in lost(piece.plan)]
    return Stands(piece, day, found, tuple(notes))


def _refuse_ended(piece: Piece) -> None:
    there = piece.standing
    if there.deal in (*BOUND, *OWN_STOCK, AWAITING) and not there.delivered:
        return
    if not there.words:
        raise refused(
            argument("on"), "found a day before the quote was issued", "write a later day", code="day_order"
        )
    found = f'{piece.number} is "{there.words}": nothing more is done on it'
    advice = Advice("see_review", number=piece.number)
    raise refused("", found, advice, code="state", number=piece.number, state=there.words)


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
            advice = Advice("see_standing", number=piece.number)
            raise refused("", found, advice, code="state", number=piece.number, state=there.words)
        brief = brief_of(book, piece, folder)
    build = build_of(piece, brief)
    found_in = f"{folder.resolve()} {piece.number}"
    return _written(Reviewed(str(piece.number), build, statement(build), False, []), papers, found_in)


def review_totals(
    job: Path, actuals: Path, shop: Path | None, today: date, settings: Settings, papers: Papers
) -> Reviewed:
    """The statement of a piece that was never logged, against its job as it would be priced for its day."""
    checked = check(job, shop, today, settings, with_options=False)
    plan = priced_alone(checked)
    totals = _read(actuals, plan)
    build = build_of(coarse_piece(plan, totals, today), checked.brief)
    return _written(Reviewed(job.stem, build, statement(build), True, []), papers, str(job.resolve()))


def _read(path: Path, plan: Priced) -> Actuals:
    source = read_toml(path)
    found = validated(source, Actuals, source.raw)
    totals: Actuals = right(found.record, found.problems)
    wrong = list(actuals_problems(plan, totals))
    sections = [(section, rest) for section, _, rest in (one.field.partition(".") for one in wrong)]
    paths = [(section, int(rest) - 1 if rest.isdigit() else rest) for section, rest in sections]
    places = zip(wrong, lines_of(source.text, paths), paths, strict=True)
    refuse(one.at(source.name, line, path) for one, line, path in places)
    return totals


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


def review_all(folder: Path, step: Tell) -> AllPieces:
    """What all finished pieces say together. Raises Problems where none is finished."""
    everything = finished(folder, step)
    brief = load_shop(folder)  # after the quotes, which know the trades that are gone
    if not (everything.builds or everything.given_up or everything.unread):
        wanted = Advice("mark_built")
        raise refused("", "found no finished piece in the ledger", wanted, code="state")
    step("comparing")
    statements = [(build, statement(build)) for build in (*everything.builds, *everything.given_up)]
    least = brief.shop.warnings.recorded_share
    recorded, left_out, unsold = [], [], []
    counted: dict[str, list[tuple[Build, Statement]]] = {}
    for build, found in statements:
        number = build.piece.number
        if found.recorded_share < least:
            share = per_cent(found.recorded_share, 0)
            left_out.append(f"{number}: only {share} of its cost is recorded, it does not count")
            continue
        recorded.append((build, found))
        if build.piece.standing.deal in OWN_STOCK:
            unsold.append(f"{number}: not sold, it does not count")
        else:
            counted.setdefault(build.piece.plan.currency, []).append((build, found))
    taught = [one for one in recorded if one[0].piece.standing.built and not lost(one[0].piece.plan)]
    currency = brief.shop.shop.currency
    own = (one for one in everything.pieces if one.plan.currency == currency)
    return AllPieces(
        currency=currency,
        tables={name: compared(those) for name, those in counted.items()},
        calibration=calibration(told(taught, step)),
        standards=proposals(everything, brief),
        years=tuple(years(own, everything.shop, brief.shop)),
        left_out=(*left_out, *unsold, *everything.untaught),
        unread=everything.unread,
    )
