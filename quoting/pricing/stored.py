"""The words under which the records of a price stand in the ledger, and what they are read back into."""

from collections.abc import Mapping
from types import MappingProxyType, SimpleNamespace
from typing import Any

from quoting import declaration, values
from quoting.declaration import Trade
from quoting.errors import Problems
from quoting.job import job, selling, shop
from quoting.job.former import frozen_of_today
from quoting.ledger.frozen import part_of, thawed
from quoting.measures import reading, units
from quoting.pricing import bench_record, chain, payments, record
from quoting.pricing.record import Priced
from quoting.reading import fields, readers
from quoting.takeoff import mixing
from quoting.takeoff import stock as cut_plan
from quoting.trades.gone import standing_in
from quoting.trades.registry import derived, stand_in, trades

_OF_NO_TRADE: Mapping[str, type[Any]] = MappingProxyType({
    "Uncertain": values.Uncertain,
    "Trade": declaration.Trade, "TradeFact": declaration.Fact, "TradeGroup": declaration.Group, "TradeSection": declaration.Section,
    "Unit": units.Unit,
    "Section": reading.Section,
    "CutPlan": cut_plan.CutPlan, "Offcut": cut_plan.Offcut, "SawStep": cut_plan.SawStep, "SawnPiece": cut_plan.SawnPiece,
    "SawnStock": cut_plan.SawnStock,
    "Discount": readers.Discount, "NoTime": fields.NoTime, "Quantity": readers.Quantity,
    "BarLength": job.BarLength, "Board": job.Board, "CutDefaults": shop.CutDefaults, "Defect": job.Defect,
    "JobCut": job.JobCut, "SheetSize": job.SheetSize,
    "Client": job.Client, "Delivery": job.Delivery, "Job": job.Job, "JobPrice": job.JobPrice, "JobRisk": job.JobRisk,
    "Option": job.Option, "Piece": job.Piece, "Quote": job.Quote,
    "Channel": selling.Channel, "DeliveryDefaults": selling.DeliveryDefaults, "Fee": selling.Fee, "Pricing": selling.Pricing,
    "Stage": selling.PaymentTerm, "Tax": selling.Tax, "Terms": selling.Terms,
    "Resin": shop.Resin, "Standard": shop.Standard,
    "Cause": shop.Cause, "House": shop.House, "Lift": shop.Lift, "Logged": shop.Logged, "MachineData": shop.MachineData,
    "Pace": shop.Pace, "Pay": shop.Pay, "Risk": shop.Risk, "Shop": shop.Shop, "Sundry": shop.Sundry, "Supplier": shop.Supplier,
    "Warnings": shop.Warnings, "Week": shop.Week,
    "Chain": chain.Chain, "FeeShare": chain.FeeShare, "Payment": payments.Payment, "Rules": chain.Rules, "Seen": chain.Seen,
    "Cut": bench_record.Cut,
    "Mix": mixing.Mix,
    "PourCard": bench_record.PourCard,
    "Step": bench_record.Step,
    "Buying": record.Buying, "Priced": record.Priced, "PricedLine": record.PricedLine, "RateShown": record.RateShown,
    "Unsure": record.Unsure, "Variant": record.Variant, "Warned": record.Warned,
})  # fmt: skip


OF = "."
"""Between the name of a trade from outside and its words."""


@derived
def records() -> Mapping[str, type[Any]]:
    """Every record that may stand in frozen results, by its word. A word that ledgers hold is for ever: a record that moves or is
    renamed keeps it, and a new record takes one that is free. Raises ValueError where two have one word.
    """
    found = dict(_OF_NO_TRADE)
    for trade in trades().values():
        for word, name in _words(trade):
            if found.setdefault(word, record := trade.named(name)) is not record:
                raise ValueError(f"two records are stored as {word}")
    return MappingProxyType(found)


def price_from(data: bytes) -> Priced:
    """A frozen price. What is stored of trades that no package brings any more comes back as plain records, as does what a package
    stored under records that it has changed since; what stands in for a trade that is gone is known from here on. Raises Problems for
    other records that this version does not know.
    """
    try:
        priced: Priced = thawed(data, records(), _plain, frozen_of_today)
    except Problems:
        of_house = {word: kind for word, kind in records().items() if OF not in word}
        priced = thawed(data, of_house, _plain, frozen_of_today)
    stand_in(standing_in(one) for one in priced.outside)
    return priced


def _plain(frozen: Any) -> Mapping[str, type[Any]]:
    """Records of the trades that a price declares: plain ones, where their own are not known."""
    declared: tuple[Trade, ...] = part_of(frozen, "outside", _OF_NO_TRADE)
    return {word: SimpleNamespace for trade in declared for word, _ in _words(trade)}


def _words(trade: Trade) -> list[tuple[str, str]]:
    """The words of a trade with its records; those of a package never meet the words of another, or of the house."""
    return [(f"{trade.name}{OF}{word}" if trade.outside else word, name) for word, name in trade.stored]
