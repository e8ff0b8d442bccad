"""What makes a laminate impossible, and what casts doubt on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from quoting.errors import Problem, one_wanted, unknown
from quoting.pick import likely
from quoting.takeoff.labour import wrong_learning
from quoting.takeoff.mixing import unknown_resin
from quoting.takeoff.needs import Doubt, doubt, untabled
from quoting.takeoff.numbers import TOLERANCE, whole_up
from quoting.trades.laminate import LAMINATES, TRADE, bagging
from quoting.trades.laminate.plies import ply_thickness
from quoting.trades.laminate.rounds import MOST_ROUNDS, lay_up

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.laminate.record import Laminate


def problems(part: Laminate, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """What makes the part impossible to reckon, judged at the plan."""
    before = list(_missing(part, shop, tables))
    yield from before
    if before:
        return
    path = f"laminate.{part.id}"
    lay = lay_up(part, shop, tables, likely)
    fraction = lay.fibre_share
    if fraction >= 1 - TOLERANCE:
        fill = f"{lay.fibre_kg_m2 * 1000:.4g} g/m2 of fibre fill more than {lay.ply_m * 1000:.4g} mm"
        found = f"found a fibre fraction of {fraction:.3g}: {fill}"
        wanted = "write a thicker ply_thickness or a lighter ply_mass"
        yield Problem.of(f"{path}.ply_thickness", found, wanted, "too_large", fraction=fraction)
    if not part.plies_per_round and lay.fitting_plies < part.block:
        yield Problem.of(
            f"{path}.working_time",
            f"found that no block of {part.block} plies fits: {part.block} x {lay.time_per_ply_h * 60:.4g} min"
            f" + {lay.close_h * 60:.4g} min to close against {lay.working_h * 60:.4g} min x {LAMINATES.of(shop).working_time_used * 100:.0f} %",
            "write plies_per_round, a smaller block, or a slower resin",
            "impossible",
            block=part.block,
            time_per_ply_h=lay.time_per_ply_h * 60,
            close_h=lay.close_h * 60,
            working_h=lay.working_h * 60,
            working_time_used=LAMINATES.of(shop).working_time_used,
        )
    rounds = whole_up(lay.plies / lay.per_round)
    for number, row in enumerate(part.flatten, start=1):
        if row.after is not None and row.after > rounds:
            words = f"found after = {row.after}, and {rounds:.0f} rounds"
            yield Problem.of(
                f"{path}.flatten.{number}.after",
                words,
                'write a round that happens, or "last"',
                "too_large",
                after=row.after,
                rounds=rounds,
            )
    if rounds > MOST_ROUNDS:
        words = f"found {rounds:.0f} rounds (most {MOST_ROUNDS})"
        yield Problem.of(
            f"{path}.thickness",
            words,
            "check thickness, ply_thickness and plies_per_round",
            "too_many",
            rounds=rounds,
            most=MOST_ROUNDS,
        )


def _missing(part: Laminate, shop: Shop, tables: Tables) -> Iterator[Problem]:
    path = f"laminate.{part.id}"
    yield from untabled(f"{path}.fibre", part.fibre, tables.fibres)
    yield from unknown_resin(part, "laminate", shop, LAMINATES.of(shop).mixing_loss)
    sheet = part.sheet_length is not None and part.sheet_width is not None
    if sheet == (part.roll_width is not None) or (part.sheet_length is None) != (part.sheet_width is None):
        found = f"{one_wanted(0 if part.roll_width is None else 2)} of sheet size and roll"
        yield Problem.of(path, found, "write sheet_length and sheet_width, or roll_width", "one_of")
    elif part.overlap >= min(
        side for side in (part.sheet_length, part.sheet_width, part.roll_width) if side is not None
    ):
        yield Problem.of(
            f"{path}.overlap", "found an overlap as wide as the sheet", "write a smaller overlap", "too_large"
        )
    ply = ply_thickness(part, shop)
    if ply is None or (part.ply_thickness is not None and part.trial):
        found = "found no cured thickness, or two"
        yield Problem.of(f"{path}.ply_thickness", found, "write ply_thickness, or trial strips", "one_of")
    elif ply.least <= 0:
        yield Problem.of(f"{path}.ply_thickness", "found 0", "write a thickness above zero", "zero")
    yield from wrong_learning(path, part.learning)
    for name in ("laying_sheets", "laying_roll"):
        if name in part.standard:
            yield Problem.of(
                f"{path}.standard.{name}", "found a time of its own", "write time_per_ply", "conflict"
            )
    yield from _wrong_flattening(part, shop)


def _wrong_flattening(part: Laminate, shop: Shop) -> Iterator[Problem]:
    """A flattening needs hours, or a machine with stepover and feed; never neither."""
    for number, row in enumerate(part.flatten, start=1):
        path = f"laminate.{part.id}.flatten.{number}"
        passes = row.stepover is not None and row.feed is not None
        if (row.hours is None) != passes or (row.hours and (row.stepover or row.feed)):
            yield Problem.of(
                path,
                "found neither hours nor a pass, or both",
                'write hours = "2 h", or stepover and feed',
                "one_of",
            )
        elif passes and (not row.stepover or not row.feed):
            yield Problem.of(path, "found a stepover or feed of 0", "write values above zero", "zero")
        if row.machine and row.machine not in shop.machine:
            yield unknown(f"{path}.machine", row.machine, shop.machine)
        if not row.machine and passes:
            yield Problem.of(
                f"{path}.machine", "found nothing", "write the machine that makes the pass", "missing"
            )
        if row.attended is not None and row.attended.most > 1:
            yield Problem.of(
                f"{path}.attended", "found more than 100 %", "write the share of its hours", "too_large"
            )
        if row.who and row.who not in shop.pay:
            yield unknown(f"{path}.who", row.who, shop.pay)


def doubts(part: Laminate, shop: Shop, tables: Tables) -> Iterator[Doubt]:
    """What the maker should look at again, judged at the plan."""
    path = f"laminate.{part.id}"
    lay = lay_up(part, shop, tables, likely)
    fraction = lay.fibre_share
    if len(part.trial) == 1:
        words = "one trial strip tells no spread: {ply:length} a ply is taken as certain; measure two strips or more"
        yield doubt("trial", f"{path}.trial", words, ply=lay.ply_m)
    limit = shop.warnings.working_time_used
    if lay.longest_clock_h > lay.working_h * limit:
        words = "a round of {plies:number} plies takes {clock:time} to a closed bag; working time is {working:time} (limit {limit:share} of it)"
        clocks = {"clock": lay.longest_clock_h, "working": lay.working_h, "limit": limit}
        plies = np.minimum(lay.per_round, lay.plies)
        yield doubt("round_clock", f"{path}.working_time", words, plies=plies, **clocks)
    if not lay.fibre.fraction_low <= fraction <= lay.fibre.fraction_high:
        words = "fibre fraction {fraction:share} is outside the usual {low:share} to {high:share} of {fibre}"
        usual = {"low": lay.fibre.fraction_low, "high": lay.fibre.fraction_high, "fibre": lay.fibre.name}
        yield doubt("fibre_fraction", f"{path}.ply_thickness", words, fraction=fraction, **usual)
    most = bagging.atmosphere_pa(shop.shop.altitude)
    if part.vacuum is not None and part.vacuum > most:
        words = (
            "a vacuum of {vacuum:pressure} is more than the {most:pressure} of air above {altitude:distance}"
        )
        numbers = {"vacuum": part.vacuum, "most": most, "altitude": shop.shop.altitude}
        yield doubt("vacuum", f"{path}.vacuum", words, **numbers)
    laid = lay.plies * lay.ply_m
    if lay.removed_m > laid * shop.warnings.flatten_share:
        words = (
            "flattening removes {removed:length} of {laid:length} laid, {share:share} (limit {limit:share})"
        )
        shares = {"share": lay.removed_m / laid, "limit": shop.warnings.flatten_share}
        yield doubt("flatten", f"{path}.flatten", words, removed=lay.removed_m, laid=laid, **shares)


def shop_rules(shop: Shop) -> Iterator[Problem]:
    """A learning rate is a share above zero; set-ups of what is reckoned by rounds are those of the rounds."""
    yield from wrong_learning("laminate", LAMINATES.of(shop).learning)
    for name in TRADE.reckoned:
        one = shop.standard.get(name)
        if one is not None and one.setup is not None and TRADE.name in one.applies_to:
            yield Problem.of(
                f"standard.{name}.setup", "found a set-up", "write it as bag_setup of [laminate]", "conflict"
            )


def dangers(part: Laminate) -> tuple[str, ...]:
    """Machines, where one flattens the panel."""
    return ("machine",) if any(row.machine for row in part.flatten) else ()
