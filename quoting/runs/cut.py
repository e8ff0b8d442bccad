"""Planning the cuts of a job: which stock to buy, where every part comes from; a search that can be ended."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from time import monotonic
from typing import NamedTuple

from quoting.advice import argument
from quoting.costing.model import cost
from quoting.cut_plans.items import groups, shapes
from quoting.cut_plans.plan import Unplanned, unplanned, unused_rows
from quoting.errors import refused, right
from quoting.job.brief import Brief
from quoting.job.files import Given, called
from quoting.job.starters import wording
from quoting.job.stock import StockRow, tally_text
from quoting.nesting.pattern import USUAL, Limit
from quoting.pick import likely
from quoting.pricing.warnings import stock_cost
from quoting.runs.pricing import Halt, Tell, read_brief
from quoting.runs.seen import Settings
from quoting.written import write_all


class _Search:
    """The search for the plans of a job: how long it may take [s], None for the usual one, and who may end it before."""

    def __init__(self, seconds: float | None, step: Tell, halt: Halt) -> None:
        self._until = None if seconds is None else monotonic() + seconds
        self._step, self._halt = step, halt

    def limit(self, plans: int) -> Limit:
        """The limit of the next of so many plans: the usual one; with a clock, larger and larger searches after it, within the plan's
        share of the time that is left.
        """
        self._step(f"planning the cuts, {plans} to go")
        if self._until is None:
            return USUAL._replace(halted=self._halt)
        now = monotonic()
        until = now + (self._until - now) / plans

        def over() -> bool:
            return self._halt() or monotonic() > until

        return USUAL._replace(halted=over, again=lambda: not over())


class Asked(NamedTuple):
    """How long the plan may take [s], None for the usual search; where to write, None for nowhere."""

    seconds: float | None
    out: Path | None
    overwrite: bool


class ShapeCost(NamedTuple):
    """A shaped part: the share of its blanks that is thrown away, and what that cost [money]."""

    part: str
    left: float
    money: float


class CutOut(NamedTuple):
    """The cut plans of a job, which its brief holds, `day` of its papers. `unplanned` are items without a plan; `rack` is what lies there afterwards. `timed`
    where the search was another than that of prices.
    """

    brief: Brief
    day: date
    unplanned: tuple[Unplanned, ...]
    unused: tuple[StockRow, ...]
    shapes: tuple[ShapeCost, ...]
    rack: tuple[StockRow, ...]
    interrupted: bool
    timed: bool
    caution: str
    written: list[Path]


def cut(
    job: Given, shop: Path | None, today: date, settings: Settings, asked: Asked, step: Tell, halt: Halt
) -> CutOut:
    """Plan the cuts of a job; `halt` ends the search, and the best plans so far are kept. Raises Problems with all that is wrong, and where no stock is listed."""
    if asked.seconds is not None and not 0 < asked.seconds < float("inf"):
        raise refused(argument("seconds"), f"found {asked.seconds:g}", "write a time above zero", code="zero")
    search = _Search(asked.seconds, step, halt)
    brief, problems = read_brief(job, shop, settings, limits=search.limit)
    words = wording(brief.folder, problems) if brief is not None else {}
    brief = right(brief, problems)
    if not brief.plans:
        found = "found no stock to cut the parts from"
        wanted = "write [[board]], [[sheet_size]] or [[bar_length]], or [cut] with tally = a CSV file beside the job"
        raise refused("", found, wanted, brief.sources[0].name, code="no_stock")
    run = cost(brief, likely)
    planned = CutOut(
        brief=brief,
        day=brief.job.quote.date or today,
        unplanned=tuple(unplanned(brief)),
        unused=tuple(unused_rows(brief)),
        shapes=tuple(
            ShapeCost(one.part, one.left, one.left * stock_cost(one.path, run)) for one in shapes(brief)
        ),
        rack=tuple(rack_after(brief)),
        interrupted=halt(),
        timed=asked.seconds is not None,
        caution=words["caution"]["cut"],
        written=[],
    )
    if asked.out is None:
        return planned
    files = _papers(planned, called(job).name)
    return planned._replace(written=write_all(asked.out, files, called(job).origin, asked.overwrite))


def rack_after(brief: Brief) -> Iterator[StockRow]:
    """What lies on the rack when the job is cut: what was there and is not used, and the offcuts that are kept. A board with defects is
    left out: a tally has no column for them.
    """
    sawn = [(plan.item, stock) for plan in brief.plans for stock in plan.stocks]
    used = Counter[str]()
    for _, stock in sawn:
        used[stock.where] += stock.number
    for row in brief.stock:
        left = (row.number or 0) - used[row.where]
        if row.supplied == "rack" and left > 0 and not row.defects:
            yield row._replace(number=left)
    of = {group.item: group.stock for group in groups(brief)}
    for item, stock in sawn:
        for one in stock.offcuts:
            if one.kept:
                yield StockRow(*of[item], one.length_m, one.width_m, stock.number, one.worth, "rack")


def _papers(found: CutOut, name: str) -> dict[str, bytes]:
    """The drawing as PDF and SVG, and the rack as the next job reads it, by file name."""
    from quoting.documents.bench.wall import cut_pdf_bytes
    from quoting.documents.pictures.cut import all_stocks
    from quoting.documents.pictures.marks import accent_of
    from quoting.documents.pictures.writers import svg_bytes

    brief, system = found.brief, found.brief.shop.shop.units
    piece = brief.job.piece
    title, accent = f"{piece.code} {piece.title}".strip(), accent_of(brief.shop.shop)
    wall = all_stocks(brief.plans, system, title, accent, found.caution)
    return {
        f"{name} cut plan.pdf": cut_pdf_bytes(brief, brief.plans, found.day, found.caution),
        f"{name} cut plan.svg": svg_bytes(wall),
        f"{name} rack.csv": tally_text(found.rack, system).encode(),
    }
