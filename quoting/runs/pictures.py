"""Every picture of a job: what it costs, how sure it is, how far it goes, how it is built and when."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quoting.errors import Problems
from quoting.job.files import Given, called
from quoting.pricing.outlook import outlook_of
from quoting.pricing.record import Priced
from quoting.runs.pricing import Checked, Tell, check, priced_alone
from quoting.runs.reach import of_job, own_distance
from quoting.runs.seen import Settings
from quoting.written import write_all

if TYPE_CHECKING:
    from quoting.documents.pictures.marks import Figure

CUT = "cut plan"
"""Not on the pages of all pictures: it has pages of its own, to scale, beside the cut plan."""


def pictures(
    job: Given,
    shop: Path | None,
    today: date,
    settings: Settings,
    out: Path,
    overwrite: bool,
    step: Tell,
    tell: Tell,
) -> list[Path]:
    """Draw what a job costs, how its price comes about, how sure it is, how far it goes, how it is built and when."""
    from quoting.documents.pictures.writers import files_of, pages_bytes

    step("pricing")
    checked = check(job, shop, today, settings, with_options=False)
    priced = priced_alone(checked)
    step("drawing")
    drawn = dict(figures(checked, priced, tell))
    paged = [figure for name, figure in drawn.items() if name != CUT]
    files = {f"{called(job).name} pictures.pdf": pages_bytes(paged, priced)}
    for name, figure in drawn.items():
        files |= files_of(f"{called(job).name} {name}", figure)
    return write_all(out, files, called(job).origin, overwrite)


def figures(checked: Checked, priced: Priced, tell: Tell) -> Iterator[tuple[str, Figure]]:
    """Each figure under the name of its files; what a job has nothing of is left out."""
    from quoting.documents.pictures.build import days_picture, rounds_picture, section_picture
    from quoting.documents.pictures.cut import all_stocks
    from quoting.documents.pictures.marks import accent_of
    from quoting.documents.pictures.price import cost_picture, price_picture, reach_picture, risk_picture

    brief, piece, house = checked.brief, priced.job.piece, priced.shop.shop
    yield "cost", cost_picture(priced)
    yield "price", price_picture(priced)
    try:
        yield "risk", risk_picture(priced, outlook_of(brief, priced))
        reach = of_job(brief, priced, None)
        yield "reach", reach_picture(reach, brief.shop, piece.title, own_distance(brief))
    except Problems as clipped:  # draws that fall beyond a bound: what rests on none is drawn all the same
        tell(f"the pictures of risk and reach are left out: {clipped}")
    for number, card in enumerate(priced.bench, start=1):
        yield f"laminate {number} section", section_picture(card, priced)
        yield f"laminate {number} rounds", rounds_picture(card, priced)
    if priced.plans:
        caution = priced.wording["caution"]["cut"]
        yield CUT, all_stocks(priced.plans, house.units, piece.title, accent_of(house), caution)
    yield "days", days_picture(priced)
