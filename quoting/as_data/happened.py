"""What happened in a shop, for other programs: pieces in hand, their logs, where one stands, where money went, what all of them teach."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from quoting.as_data.record import Data, amounts, by_name, chances, margins, picked, share

if TYPE_CHECKING:
    from quoting.forecast.build import Earned
    from quoting.logbook.buying import ToBuy
    from quoting.logbook.in_hand import InHand
    from quoting.logbook.piece import Piece
    from quoting.review.pieces import Calibration
    from quoting.runs.builds import AllPieces, Reviewed, Stands
    from quoting.runs.buying import BuyingList
    from quoting.runs.learn import Lessons, Proposal
    from quoting.runs.log import Shown
    from quoting.runs.shops import Pieces
    from quoting.runs.today import Bench, Today


def pieces_data(found: Pieces) -> Data:
    """Work in hand on a day, for other programs."""
    rows = [piece_data(one.piece) | figures_data(one.figures) for one in found.rows]
    return {"day": found.day, "pieces": rows, "others": found.others, "lapsing": found.lapsing}


def piece_data(piece: Piece) -> Data:
    """What a piece is and how it stands, for other programs."""
    keys = "number title client state=standing.words since=standing.since currency"
    return picked(piece, keys, number=str(piece.number), **picked(piece.quote.face, "title client currency"))


def figures_data(figures: InHand) -> Data:
    """Figures of a piece, for other programs."""
    return picked(
        figures,
        "contract=contract.total contract_net=contract.net agreed=contract.firm received owed held"
        " cost_so_far=cost still_to_spend=to_spend not_recorded expected_cost planned_cost"
        " labour_hours=hours planned_labour_hours=planned_hours expected_margin_amount=kept expected_margin"
        " lines_not_recorded=unrecorded",
        expected_margin=share(figures.margin),
    )


def log_data(found: Shown) -> Data:
    """Every entry of a piece or of the shop, and the lines that they fill, for other programs."""
    entry = (
        "id kind day said line task part stage item who round plies amount unit hours money receipt words"
        " about takes_back=counters source"
    )
    line = (
        "id=line.id trade=line.trade planned_quantity=line.quantity planned_amount=line.amount quantity"
        " unit=line.measure amount bought_quantity=bought paid recorded=logged"
    )
    piece, figures = found.piece, found.figures
    return {
        "number": found.name,
        "entries": [picked(one, entry) for one in found.entries],
        "piece": None if piece is None or figures is None else piece_data(piece) | figures_data(figures),
        "lines": [] if figures is None else [picked(one, line) for one in figures.lines],
    }


CHOICE = "part more_rounds=more rounds reaches margin thickness_m cost days"


def standing_data(found: Stands) -> Data:
    """Where a piece stands, for other programs."""
    now, piece = found.standing, found.piece
    digits, laminates = piece.plan.digits, []
    for one in now.panels:
        plies, rounds = chances(one.plies_to_go, "plies"), chances(one.rounds_to_go, "rounds")
        laminates.append(by_name(one, plies_to_go=plies, rounds_to_go=rounds))
    return picked(
        now,
        "number title state day currency seed draws net=contract.net fees=contract.fees cost planned_cost"
        " cost_so_far margin quoted_margin planned_margin=planned chance_of_loss=loses"
        " labour_hours_to_go=to_go.labour_h resin_litres_to_go=to_go.resin_l bag_film_m2_to_go=to_go.film_m2"
        " days_to_go=to_go.days tasks_to_go=tasks laminates choices learnt=lessons drivers earned_value"
        " buying notes",
        **picked(piece, "title=quote.face.title state=standing.words currency=plan.currency"),
        **amounts(now, digits, "planned_cost cost_so_far=spent"),
        number=str(piece.number),
        day=found.day,
        margin=margins(now.cost, now.margins),
        quoted_margin=share(now.quoted),
        laminates=laminates,
        choices=[picked(one, CHOICE) for one in now.choices],
        earned_value=None if now.earned is None else _earned_data(now.earned, digits),
        buying=[by_name(one, **amounts(one, digits, "money")) for one in now.buying],
        notes=found.notes,
    )


def _earned_data(one: Earned, digits: int) -> Data:
    """Earned value; what rests on a plan by days is nothing where there is none."""
    found = amounts(one, digits, "bac ev ac pv cv sv eac_at_budget eac_at_present")
    found |= amounts(one, digits, "eac_at_both") if one.pv else {"spi": None, "eac_at_both": None}
    keys = "bac ev ac pv cv sv cpi spi eac_at_budget eac_at_present eac_at_both tcpi"
    return picked(one, keys, **found)


CAUSE = "kind part effect words details"


def review_data(found: Reviewed) -> Data:
    """A finished piece for other programs."""
    from quoting.review.causes import sentence

    one, piece = found.statement, found.build.piece
    line = (
        "id=line.id trade=line.trade planned_quantity=line.quantity standard_quantity quantity unit=line.unit"
        " planned standard actual recorded not_recorded=missing to_come parts"
    )
    return picked(
        one,
        "number title state coarse currency net=way.contract.net quoted_margin_amount=way.quoted"
        " bridge=way.steps actual_margin_amount=way.actual quoted_margin=quoted_share"
        " actual_margin=actual_share cost overhead margin_before_overhead=without_overhead in_hand own_hours"
        " an_own_hour=an_hour labour_hours=hours material_worth material_bought material_given=given"
        " material_from_stock=from_stock not_recorded recorded_share lines_not_recorded causes tasks rounds"
        " lines",
        **picked(found, "number=name coarse"),
        **picked(piece, "title=plan.job.piece.title state=standing.words currency=plan.currency"),
        causes=[
            picked(cause, CAUSE, words=sentence(found.build, one.missing, cause, str)) for cause in one.causes
        ],
        lines=[picked(spent, line) for spent in one.lines],
    )


def learn_data(found: Lessons) -> Data:
    """What finished pieces teach, for other programs."""
    return picked(
        found,
        "pieces currency standards prices calibration patch accepted former_file=kept.name unread",
        unread=(*found.unread, *found.untaught),
        standards=_standards(found.proposals),
        calibration=_calibration(found.calibration),
        accepted=found.kept is not None,
    )


def all_data(found: AllPieces) -> Data:
    """All finished pieces for other programs."""
    return {
        "currencies": found.tables,
        "calibration": _calibration(found.calibration),
        "standards": _standards(found.standards),
        "overhead": found.years,
        "left_out": found.left_out,
        "unread": found.unread,
    }


def _standards(found: Sequence[Proposal]) -> list[Data]:
    keys = (
        "name=learned.name dimension=learned.dimension old=learned.old.likely new=learned.new"
        " error=learned.error low=learned.low high=learned.high pieces=learned.pieces"
        " proposed=learned.proposed old_text new_text"
    )
    return [picked(one, keys) for one in found]


def _calibration(found: Calibration) -> Data:
    bands = [by_name(one, held=one.held) for one in found.bands]
    return picked(found, "share_within=share width bands", bands=bands)


def today_data(found: Today) -> Data:
    """Work of a day, for other programs."""
    return {
        "day": found.day,
        "hours_of_a_day": found.room_h,
        "hours": found.work_h,
        "pieces": [_at_bench(one) for one in found.rows],
        "lapsing": found.lapsing,
    }


def _at_bench(one: Bench) -> Data:
    keys = "ordered ready promised due today next hours_to_go cures waits planned"
    more = {"today": one.today, "next": one.next, "hours_to_go": one.to_go_h}
    face = picked(one.piece.quote.face, "title client currency")
    return {
        "number": str(one.piece.number),
        **face,
        "state": one.piece.standing.words,
        **picked(one.ahead, keys, **more),
    }


def buying_data(found: BuyingList) -> Data:
    """The list for other programs."""
    return {
        "pieces": found.pieces,
        "currency": found.currency,
        "amount": found.amount,
        "saved": found.saved,
        "errands": [
            by_name(one, amount=one.amount, items=[_bought(item) for item in one.items])
            for one in found.errands
        ],
    }


def _bought(one: ToBuy) -> Data:
    return by_name(one, shares=[picked(share, "name needed had left alone") for share in one.shares])
