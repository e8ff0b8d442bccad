"""Planning the cuts of a job: which stock to buy, where every part comes from, what is left."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.model import cost
from quoting.errors import Problem, Problems
from quoting.inputs.outline import interlocked_m
from quoting.inputs.stock import StockRow
from quoting.inputs.tally import tally_text
from quoting.pick import likely
from quoting.pricing.warnings import stock_cost
from quoting.runs.halting import halting
from quoting.runs.pricing import read_brief
from quoting.sawing.demand import groups
from quoting.sawing.plan import unused_rows
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from quoting.cutting.record import CutPlan
    from quoting.inputs.brief import Brief


class Asked(NamedTuple):
    """How long the plan may take [s], None for the usual search; where to write, None for nowhere."""

    seconds: float | None
    out: Path | None
    overwrite: bool


class Shape(NamedTuple):
    """A shaped part: the share of its blanks that is thrown away, and what that cost [money]."""

    part: str
    left: float
    money: float


class CutOut(NamedTuple):
    """The cut plans of a job. `unplanned` are items without listed stock; `rack` is what lies there afterwards."""

    brief: Brief
    plans: tuple[CutPlan, ...]
    unplanned: tuple[str, ...]
    unused: tuple[StockRow, ...]
    shapes: tuple[Shape, ...]
    rack: tuple[StockRow, ...]
    interrupted: bool
    written: list[Path]


def cut(job: Path, shop: Path | None, settings: Sequence[str], asked: Asked) -> CutOut:
    """Plan the cuts of a job. Raises Problems with all that is wrong, and where no stock is listed."""
    if asked.seconds is not None and not 0 < asked.seconds < float("inf"):
        raise Problems([Problem("--seconds", f"found {asked.seconds:g}", "write a time above zero")])
    with halting(asked.seconds) as halt:
        brief, problems = read_brief(job, shop, settings, limits=halt.limit)
    if brief is None or problems:
        raise Problems(problems)
    if not brief.plans:
        words = "found no stock to cut the parts from"
        wanted = "write [[board]], [[sheet_size]] or [[bar_length]], or [cut] with tally = a CSV file beside the job"
        raise Problems([Problem("", words, wanted, job.name)])
    planned = {plan.item for plan in brief.plans}
    found = CutOut(
        brief=brief,
        plans=brief.plans,
        unplanned=tuple(group.item for group in groups(brief) if group.item not in planned),
        unused=tuple(unused_rows(brief)),
        shapes=tuple(_shapes(brief)),
        rack=tuple(rack_after(brief)),
        interrupted=halt.interrupted,
        written=[],
    )
    if asked.out is None:
        return found
    files = _papers(found, job.stem)
    return found._replace(written=write_all(asked.out, files, str(job.resolve()), asked.overwrite))


def _shapes(brief: Brief) -> Iterator[Shape]:
    run = cost(brief, likely)
    for trade in ("hardwood", "sheet"):
        for part in getattr(brief.job, trade):
            path = f"{trade}.{part.id}"
            if part.shape_area is not None and path in brief.tables.yields:
                two = _in_pairs(brief, path)
                blank = part.length * (interlocked_m(part.outline, 0.0) / 2 if two else part.width)
                left = 1 - part.shape_area / blank
                yield Shape(part.part, left, left * stock_cost(path, run))


def _in_pairs(brief: Brief, path: str) -> bool:
    return any(
        one.path == path and one.two for plan in brief.plans for stock in plan.stocks for one in stock.pieces
    )


def rack_after(brief: Brief) -> Iterator[StockRow]:
    """What lies on the rack when the job is cut: what was there and is not used, and the offcuts that are kept."""
    used: dict[str, int] = {}
    for plan in brief.plans:
        for stock in plan.stocks:
            used[stock.where] = used.get(stock.where, 0) + stock.number
    for row in brief.stock:
        left = (row.number or 0) - used.get(row.where, 0)
        if row.supplied == "rack" and left > 0:
            yield row._replace(number=left)
    of = {group.item: group.stock for group in groups(brief)}
    for plan in brief.plans:
        for stock in plan.stocks:
            for one in stock.offcuts:
                if one.kept:
                    yield StockRow(*of[plan.item], one.length_m, one.width_m, stock.number, one.worth, "rack")


def _papers(found: CutOut, name: str) -> dict[str, bytes]:
    """The drawing as PDF and SVG, and the rack as the next job reads it, by file name."""
    from quoting.documents.cut_pdf import cut_pdf_bytes
    from quoting.documents.pictures.cut import all_stocks
    from quoting.documents.pictures.svg import svg_bytes

    brief, system = found.brief, found.brief.shop.shop.units
    day = brief.job.quote.date or date.today()
    return {
        f"{name} cut plan.pdf": cut_pdf_bytes(brief, found.plans, day),
        f"{name} cut plan.svg": svg_bytes(all_stocks(found.plans, system, brief.job.piece.title)),
        f"{name} rack.csv": tally_text(found.rack, system).encode(),
    }
