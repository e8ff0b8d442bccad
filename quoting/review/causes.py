"""Where the money went: the causes of what went missing or was gained, the dearest first, in a maker's words.

Hours carry the overhead and the sundries that follow them to their cause.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import NamedTuple

from quoting.forecast.build import Build
from quoting.logbook.filled import follows
from quoting.logbook.plan_lines import BY_STAGE, task_of
from quoting.measures.showing import per_cent, plain_money
from quoting.money import exact
from quoting.review.bridge import OF_LINES, STEPS, Bridge, Spent, stage_of, stages_logged

ROUNDS = "rounds"
HOURS = ("scope", "time", "setback")

NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")

SAYS = {
    "price": ("A lower price than quoted took {}", "A better price than quoted brought {}"),
    "asked_and_paid": ("Changes that were asked and paid took {}", "Changes that were asked and paid brought {}"),
    "asked_not_paid": ("Changes that were asked and not paid in full took {}", "Changes that were asked brought {}"),
    "my_own": ("My own changes cost {}", "My own changes saved {}"),
    "scope": ("What nobody had planned cost {}", "What was left out saved {}"),
    "usage": ("Material used beyond the plan cost {}", "Material used sparingly saved {}"),
    "prices_paid": ("Dearer prices cost {}", "Better prices saved {}"),
    "by_receipt": ("Material by receipt cost {} more than planned", "Material by receipt cost {} less than planned"),
    "hours": ("Hours over the plan cost {}", "Hours under the plan saved {}"),
    "pay_rate": ("Dearer hands than planned cost {}", "Cheaper hands than planned saved {}"),
    "machine": ("Machine hours over the plan cost {}", "Machine hours under the plan saved {}"),
    "setbacks": ("Setbacks cost {} more than the plan set by", "Setbacks that did not come saved {}"),
    "overhead": ("Overhead that belongs to no one task cost {}", "Overhead that belongs to no one task saved {}"),
    "delivery": ("Delivery cost {} more than planned", "Delivery cost {} less than planned"),
    "fees": ("Fees and waiting took {} more than planned", "Fees and waiting took {} less than planned"),
}  # fmt: skip
"""What each cause says where it took something from the margin, and where it added to it."""


class Detail(NamedTuple):
    """One line in a cause: what it did to the margin [money], and how, in words."""

    line: str
    effect: Decimal
    words: str


class Cause(NamedTuple):
    """A cause: a step of the bridge, or "rounds" of a `part`; its effect on the margin, overhead on its hours in it
    [money]; what it says in figures, largest first.
    """

    kind: str
    part: str
    effect: Decimal
    details: tuple[Detail, ...]


def causes(build: Build, way: Bridge, lines: Sequence[Spent]) -> tuple[Cause, ...]:
    """Every cause that moved the margin, the dearest first; the reserve is none, it was there to be spent."""
    rate = Decimal(repr(sum(one.line.rate for one in lines if follows(one.line) == "hours")))
    digits, zero = build.piece.plan.digits, Decimal(0)
    found: dict[tuple[str, str], list[Detail]] = defaultdict(list)
    whole: dict[str, list[tuple[Spent, Decimal]]] = defaultdict(list)
    stages, spread = stages_logged(lines), zero
    for one in lines:
        if follows(one.line) == "hours":
            continue
        for kind, over in one.parts.items():
            with_them = exact(Decimal(repr(hours_over(one, kind))) * rate, digits)
            spread += with_them
            effect = -over - with_them
            if kind == "time" and (stage := stage_of(one, stages)):
                whole[stage].append((one, effect))
            else:
                of_rounds = kind == "scope" and one.line.id in build.by_round
                cause = (ROUNDS, one.line.id.split(".")[1]) if of_rounds else (OF_LINES[kind], "")
                found[cause].append(Detail(one.line.id, effect, detail_of(build, one, kind)))
    for stage, those in whole.items():
        found[OF_LINES["time"], ""].append(_by_stage(stage, those))
    rows = []
    for (kind, part), details in found.items():
        largest = sorted((one for one in details if one.effect), key=lambda one: -abs(one.effect))
        rows.append(Cause(kind, part, sum((one.effect for one in details), zero), tuple(largest)))
    of_lines = set(OF_LINES.values())
    rows += [
        Cause(step, "", way.steps[step], ()) for step in STEPS if step not in of_lines and step != "reserve"
    ]
    fees = way.steps["fees"] - sum((one.effect for one in rows if one.kind == "fees"), zero)
    rows.append(Cause("fees", "", fees, ()))
    rows.append(Cause("overhead", "", way.steps["overhead"] + spread, ()))
    moved = [one for one in rows if one.effect]
    return tuple(sorted(moved, key=lambda one: one.effect))


def hours_over(one: Spent, kind: str) -> float:
    """Hours of people in a part of a line's difference [h]: overhead follows them."""
    line = one.line
    if kind not in HOURS or not line.of_people:
        return 0.0
    if kind == "scope" and line.quantity:
        return one.standard_quantity - line.quantity
    return one.quantity - (one.standard_quantity if kind == "time" else line.quantity)


def _by_stage(stage: str, those: list[tuple[Spent, Decimal]]) -> Detail:
    """Hours of which only the stage is known, against the tasks of it that nobody logged."""
    actual, standard = (sum(getattr(one, of) for one, _ in those) for of in ("quantity", "standard_quantity"))
    words = f"{stage} work, not told apart: {actual:.3g} h instead of {standard:.3g}"
    return Detail(f"{BY_STAGE}.{stage}.hours", sum((effect for _, effect in those), Decimal(0)), words)


def line_name(one: Spent) -> str:
    """A line as the maker calls it: the work and its part, or the thing."""
    line = one.line
    if line.trade == "setback":
        return line.part
    if line.measure == "h" and line.trade in ("labour", "machine"):
        if line.id.startswith((f"{BY_STAGE}.", "standard.")):
            return line.part
        return f"{task_of(line).replace('-', ' ')} of {line.part}"
    return line.item or line.part


def detail_of(build: Build, one: Spent, kind: str) -> str:
    """What a part of a line's difference is, in figures."""
    line, name, unit = one.line, line_name(one), one.line.unit
    if kind == "setback":
        happened = any(o.logged for o in build.lines if o.line.id == line.id)
        mine = (p for p in build.brief.job.parts.get(line.trade, ()) if p.id == line.id.split(".")[1])
        what = next((getattr(p, p.naming) for p in mine), name)
        kind_of = "hours" if line.measure == "h" else "money"
        return f"{what}, {kind_of}: {'it happened' if happened else 'it did not happen'}"
    if kind in ("price", "pay") and one.quantity and line.rate:
        paid = float(one.actual) / one.quantity
        return f"{name}: {plain_money(paid)} instead of {plain_money(line.rate)} a {unit}"
    if kind in ("price", "delivery", "waiting"):
        return f"{name}: {plain_money(float(one.actual))} instead of {plain_money(float(one.planned))}"
    if kind == "lump":
        return f"{name}: {plain_money(float(one.actual))} paid instead of {plain_money(float(one.standard))}"
    if kind == "scope" and not line.quantity:
        return f"{name}: not in the plan"
    if kind == "scope":
        return f"{name}: {_amount(one.standard_quantity)} {unit} instead of {_amount(line.quantity)}"
    return f"{name}: {_amount(one.quantity)} {unit} instead of {_amount(one.standard_quantity)}"


def _amount(quantity: float) -> str:
    return f"{quantity:.3g}" if quantity < 1000 else f"{quantity:,.0f}"


def sentence(build: Build, missing: Decimal, one: Cause, money: Callable[[Decimal], str]) -> str:
    """The sentence of a cause, with its share of what went missing [money] where it took something."""
    gained = one.effect > 0
    amount = money(one.effect if gained else -one.effect)
    if one.kind == ROUNDS:
        words = f"{_rounds(build, one)} {'saved' if gained else 'cost'} {amount}"
    else:
        words = SAYS[one.kind][gained].format(amount)
    return f"{words}." if gained else f"{words}, {_share(float(-one.effect / missing))} that went missing."


def _share(share: float) -> str:
    if share > 0.95:
        return "nearly all"
    if share > 0.55:
        return "more than half of all"
    if share > 0.45:
        return "half of all"
    return f"{per_cent(share, 0)} of all"


def _rounds(build: Build, one: Cause) -> str:
    """More or fewer rounds and plies than planned, in words."""
    mine = next(p for p in build.pressed if p.part.id == one.part)
    card = next(c for c in build.piece.plan.bench if c.path == f"laminate.{one.part}")
    planned = sum(count for row in card.rounds for _, count in row.plies)
    more, plies = mine.rounds - len(card.rounds), mine.plies - planned
    if not more:
        kind = "more" if plies > 0 else "fewer"
        return f"{abs(plies)} {'ply' if abs(plies) == 1 else 'plies'} {kind} than planned on {card.part}"
    count = NUMBERS[abs(more)] if abs(more) < len(NUMBERS) else str(abs(more))
    which = f"{'extra' if more > 0 else 'saved'} bagging round{'s' if abs(more) > 1 else ''}"
    was = f"{mine.rounds} instead of {len(card.rounds)}, {mine.plies} plies instead of {planned}"
    return f"{count} {which} on {card.part} ({was})"
