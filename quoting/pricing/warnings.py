"""Warnings about the job as a whole: how hot resin may get, and the cautions that its trades call for."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import NamedTuple

from quoting.costing.model import Cost
from quoting.cut_plans.items import shapes
from quoting.cut_plans.plan import unplanned, unused_rows
from quoting.declaration import LAY_UP
from quoting.errors import plain
from quoting.job.brief import Brief
from quoting.measures import shown
from quoting.measures.showing import in_short, per_cent, said
from quoting.money import exact
from quoting.pricing.bench import pour_cards, pressed_cards
from quoting.pricing.bench_record import PourCard
from quoting.pricing.chain import Chain, Rules
from quoting.pricing.payments import Payment
from quoting.pricing.record import Buying, Warned
from quoting.takeoff.delivery import beyond_furthest, doubts, road_m
from quoting.takeoff.stock import left_over
from quoting.trades import parts as of_trades
from quoting.trades.registry import chain_of, trades
from quoting.values import rough_text

WORST_FIRST = ("resin", "vacuum", "dust", "machine", "oily_rags", "glass", "metal", "lifting", "tip_over")
"""Cautions in printed order; others that trades call for follow."""

NO_PLAN = "no_plan"
"""The name of the caution that stands below the others."""

RESIN_HEAT = "resin_heat"
"""The name of the caution that tells what lies together of each resin, beside that of resins."""

BELOW_FLOOR, BEYOND_FURTHEST, STALE_PRICE = "below_floor", "beyond_furthest", "stale_price"


class Batch(NamedTuple):
    """The most of a resin that lies together, in a cup or a form [m3], and the deepest that it is poured [m]: 0 where it is only spread,
    None where the job gives the depth of a pour not.
    """

    resin: str
    volume_m3: float
    depth_m: float | None


def batches(brief: Brief) -> Iterator[Batch]:
    """One for every resin that a job mixes."""
    laid = [Batch(card.resin, one.mix.volume_m3, 0.0) for card in pressed_cards(brief) for one in card.rounds]
    laid += [_poured(card) for card in pour_cards(brief)]
    for resin in dict.fromkeys(one.resin for one in laid):
        mine = [one for one in laid if one.resin == resin]
        depths = [one.depth_m for one in mine if one.depth_m is not None]
        deepest = max(depths) if len(depths) == len(mine) else None
        yield Batch(resin, max(one.volume_m3 for one in mine), deepest)


def _poured(card: PourCard) -> Batch:
    """A pour lies together whatever it was mixed in; a coat is spread cup by cup."""
    if chain_of(card.trade) == LAY_UP:
        return Batch(card.resin, card.mix.volume_m3 * card.mix.batches, card.depth_m)
    return Batch(card.resin, card.mix.volume_m3, card.depth_m or 0.0)


def _heat_cautions(brief: Brief, words: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What the bench is told of its resins: how much lies together and how deep, and what the shop notes about each."""
    found = list(batches(brief))
    if found:
        listed = "; ".join(_in_words(one, brief.shop.shop.units, words) for one in found)
        yield RESIN_HEAT, words[RESIN_HEAT].replace("{batches}", listed)
    for one in found:
        if note := brief.shop.resin[one.resin].heat_note:
            yield f"resin.{one.resin}", f"{one.resin}: {note}"


def _in_words(batch: Batch, system: str, words: Mapping[str, str]) -> str:
    depth = words["resin_depth_unknown"] if batch.depth_m is None else ""
    if batch.depth_m:
        deep = in_short(shown(batch.depth_m, "length", system))
        depth = words["resin_depth"].replace("{depth}", deep)
    return f"{batch.resin} {in_short(shown(batch.volume_m3, 'volume', system))}{depth}"


def warned(brief: Brief, code: str, field: str, words: str, /, **values: object) -> Warned:
    """A warning with its place: of a price the row of the price file, else where the field stands in the job file or the shop file."""
    return Warned(code, field, words, *brief.place(field), plain(values))


def part_warnings(brief: Brief, run: Cost, digits: int) -> Iterator[Warned]:
    """Warnings of the trades, with the money where material is left over."""
    system = brief.shop.shop.units
    planned = (doubt for shape in shapes(brief) for doubt in left_over(shape.path, shape.left, brief.shop))
    for doubt in (*of_trades.doubts(brief.job, brief.shop, brief.tables), *planned):
        words, values = in_short(said(doubt.words, system)), dict(doubt.words.numbers)
        if doubt.code == "scrap":
            left = doubt.words.numbers["left"]
            share = left if isinstance(left, float) else 0.0
            money = stock_cost(doubt.field.rpartition(".")[0], run) * share
            words += f": {exact(money, digits)} {brief.shop.shop.currency} of stock; it is the rectangle that is cut"
            values["stock"] = exact(money, digits)
        yield warned(brief, doubt.code, doubt.field, words, **values)
    for doubt in doubts(float(run.needed.mass_kg), brief.shop):
        words = in_short(said(doubt.words, system))
        yield warned(brief, doubt.code, doubt.field, words, **doubt.words.numbers)


def stock_cost(path: str, run: Cost) -> float:
    """What the stock of a part costs [money]."""
    trade = path.partition(".")[0]
    own = (line for line in run.lines if line.group == trade and line.id.startswith(f"{path}."))
    return sum(float(line.amount) for line in own)


def price_warnings(
    brief: Brief, chain: Chain, rules: Rules, payments: list[Payment], buying: list[Buying]
) -> Iterator[Warned]:
    """Warnings of the price: floor, distance, age of prices, first payment."""
    if chain.margin < rules.floor:
        words = f"margin {per_cent(chain.margin)} is below the floor of {per_cent(rules.floor)}"
        margins = {"margin": float(chain.margin), "floor": float(rules.floor)}
        yield warned(brief, BELOW_FLOOR, "price.margin", words, **margins)
    if beyond_furthest(brief.job, brief.shop) and brief.job.delivery is not None:
        system = brief.shop.shop.units
        road, furthest = (
            road_m(brief.job.delivery, brief.shop.delivery.road_factor),
            brief.shop.delivery.furthest,
        )
        far, most = shown(road, "distance", system), shown(furthest, "distance", system)
        words = f"{far} is beyond the {most} you deliver: priced as collected. Ask a carrier for a price, let the client fetch it, or raise delivery.furthest"
        yield warned(
            brief, BEYOND_FURTHEST, "delivery.road_distance", words, road_m=road, furthest_m=furthest
        )
    for line in buying:
        if line.stale:
            limit = f"{brief.shop.pricing.stale_after:g} days"
            words = f"the price of {line.item} is of {line.dated}, older than {limit}: ask again"
            yield warned(brief, STALE_PRICE, f"prices.{line.item}", words, item=line.item, dated=line.dated)
    if brief.shop.tax.registered and not brief.shop.tax.rate:
        yield warned(
            brief, "tax_rate", "tax.rate", "registered = true, and the rate is 0 %: no tax is charged"
        )
    for row in unused_rows(brief):
        rough = f" {rough_text(row.rough_m)}" if row.rough_m else ""
        words = f"no part is cut from {row.name}{rough}: the row is not used"
        yield warned(brief, "unused_stock", row.path, words, item=row.name, rough_m=row.rough_m)
    for item in unplanned(brief):
        if item.rows:
            words = f"what lies on the rack does not hold all parts of {item.name}, and none to buy is listed: its price rests on a waste"
            yield warned(brief, "rack_short", item.rows[0].path or "cut.rack", words, item=item.name)
    if next(of_trades.parts(brief.job), None) is None:
        words = "the job holds no part: only the work that every job has is priced"
        yield warned(brief, "no_parts", "piece", words)
    yield from _deposit(brief, payments, buying)


def _deposit(brief: Brief, payments: list[Payment], buying: list[Buying]) -> Iterator[Warned]:
    """A first payment that does not cover what must be bought before the second."""
    if len(payments) < 2:
        return
    spent = sum((line.amount for line in buying), Decimal(0))
    cover = Decimal(repr(brief.shop.warnings.deposit_cover))
    if payments[0].net < spent * cover:
        currency = brief.shop.shop.currency
        words = f'"{payments[0].name}" brings {payments[0].net} {currency} net; {spent} {currency} must be bought (limit {per_cent(cover, 0)} of it)'
        values = {"payment": payments[0].name, "net": payments[0].net, "spent": spent, "cover": float(cover)}
        yield warned(brief, "deposit", "terms.payments", words, **values)


def clipped_warnings(brief: Brief, shares: Mapping[str, float]) -> Iterator[Warned]:
    """Draws that were held back at a bound."""
    for name, share in shares.items():
        field, _, what = name.partition(": ")
        words = f"{what} in {per_cent(share)} of draws, held back at the bound"
        yield warned(brief, "clipped", field, words, what=what, share=share)


def _caution_keys(brief: Brief, warned: Iterable[Warned]) -> list[str]:
    """Which cautions a job calls for, in printed order: those of its trades, and what parts say of their own."""
    job = brief.job
    called = {one.code for one in warned if one.code == "lifting"}
    for name, part in of_trades.parts(job):
        trade = trades()[name]
        called |= {*trade.cautions, *(trade.named(trade.dangers)(part) if trade.dangers else ())}
    if job.piece.height is not None and job.piece.height >= brief.shop.warnings.tip_over_height:
        called.add("tip_over")
    order = [*WORST_FIRST, *sorted(called - set(WORST_FIRST))]
    return [name for name in order if name in called]


def cautions(
    brief: Brief, wording: Mapping[str, Mapping[str, str]], warned: tuple[Warned, ...]
) -> tuple[tuple[str, str], ...]:
    """What the maker is reminded of: the usual cautions, what the shop notes about its resins, and what decides in the end."""
    words = wording["caution"]
    found = [(name, words[name]) for name in _caution_keys(brief, warned)]
    found += _heat_cautions(brief, words)
    return (*found, (NO_PLAN, words[NO_PLAN])) if found else ()
