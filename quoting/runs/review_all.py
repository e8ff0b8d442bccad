"""What all finished pieces of a shop say together."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, Problems
from quoting.hindsight.bands import calibration
from quoting.hindsight.overhead import years
from quoting.hindsight.pieces import compared
from quoting.hindsight.standards import learned
from quoting.inputs.load import load_shop
from quoting.runs.finished import finished
from quoting.runs.learn import proposal_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from quoting.hindsight.bands import Calibration
    from quoting.hindsight.overhead import Year
    from quoting.hindsight.pieces import Compared
    from quoting.runs.learn import Proposal


class AllPieces(NamedTuple):
    """All finished pieces of a shop: tables by currency, bands, standards that are wrong, overhead by year."""

    currency: str
    locale: str
    tables: dict[str, Compared]
    calibration: Calibration
    standards: tuple[Proposal, ...]
    years: tuple[Year, ...]
    unread: tuple[str, ...]


def review_all(folder: Path, step: Callable[[str], None]) -> AllPieces:
    """What all finished pieces say together. Raises Problems where none is finished."""
    brief = load_shop(folder)
    everything = finished(folder, step)
    if not everything.builds and not everything.unread:
        wanted = "mark one built: quoting mark NUMBER built"
        raise Problems([Problem("", "found no finished piece in the ledger", wanted)])
    step("comparing")
    currencies = dict.fromkeys(build.piece.plan.currency for build in everything.builds)
    return AllPieces(
        currency=brief.shop.shop.currency,
        locale=brief.shop.shop.locale,
        tables={
            name: compared([one for one in everything.builds if one.piece.plan.currency == name])
            for name in currencies
        },
        calibration=calibration(everything.builds),
        standards=tuple(proposal_of(one, brief) for one in learned(everything.builds, brief)),
        years=tuple(years(everything.pieces, everything.shop, brief.shop)),
        unread=everything.unread,
    )
