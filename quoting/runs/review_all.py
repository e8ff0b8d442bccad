"""What all finished pieces of a shop say together."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, Problems
from quoting.job.load import load_shop
from quoting.ledger.states import OWN_STOCK
from quoting.review.bands import calibration
from quoting.review.overhead import years
from quoting.review.pieces import compared
from quoting.review.standards import learned
from quoting.review.statement import statement
from quoting.runs.learn import finished, proposal_of
from quoting.runs.of_gone_trades import lost

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from quoting.review.bands import Calibration
    from quoting.review.overhead import Year
    from quoting.review.pieces import Compared
    from quoting.runs.learn import Proposal


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
    known = [(build, found) for build, found in statements if found.recorded_share >= least]
    counted = [(build, found) for build, found in known if build.piece.standing.deal not in OWN_STOCK]
    told = [
        f"{build.piece.number}: only {found.recorded_share:.0%} of its cost is recorded, it does not count"
        for build, found in statements
        if found.recorded_share < least
    ]
    told += [
        f"{build.piece.number}: not sold, it does not count"
        for build, _ in known
        if build.piece.standing.deal in OWN_STOCK
    ]
    told += everything.untaught
    currencies = dict.fromkeys(build.piece.plan.currency for build, _ in counted)
    return AllPieces(
        currency=brief.shop.shop.currency,
        tables={
            name: compared([one for one in counted if one[0].piece.plan.currency == name])
            for name in currencies
        },
        calibration=calibration(
            [one for one in known if one[0].piece.standing.built and not lost(one[0].piece.plan)]
        ),
        standards=tuple(proposal_of(one, brief) for one in learned(everything.teaching, brief)),
        years=tuple(
            years(
                (one for one in everything.pieces if one.plan.currency == brief.shop.shop.currency),
                everything.shop,
                brief.shop,
            )
        ),
        left_out=tuple(told),
        unread=everything.unread,
    )
