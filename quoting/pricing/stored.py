"""The words under which the records of a price stand in the ledger, and what they are read back into."""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from quoting import values
from quoting.job import job, selling, shop, standards, stock
from quoting.measures import reading, units
from quoting.nesting import record as cut_plan
from quoting.pricing import bench, calendar, chain, lists, price_rules, record
from quoting.reading import fields
from quoting.takeoff import mixing
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from collections.abc import Mapping

_OF_NO_TRADE: Mapping[str, type[Any]] = MappingProxyType({
    "Uncertain": values.Uncertain,
    "Unit": units.Unit,
    "Section": reading.Section,
    "CutPlan": cut_plan.CutPlan, "Offcut": cut_plan.Offcut, "SawStep": cut_plan.SawStep, "SawnPiece": cut_plan.SawnPiece,
    "SawnStock": cut_plan.SawnStock,
    "Discount": fields.Discount, "NoTime": fields.NoTime, "Quantity": fields.Quantity,
    "BarLength": stock.BarLength, "Board": stock.Board, "CutDefaults": stock.CutDefaults, "Defect": stock.Defect,
    "JobCut": stock.JobCut, "SheetSize": stock.SheetSize,
    "Client": job.Client, "Delivery": job.Delivery, "Job": job.Job, "JobPrice": job.JobPrice, "JobRisk": job.JobRisk,
    "Option": job.Option, "Piece": job.Piece, "Quote": job.Quote,
    "Channel": selling.Channel, "DeliveryDefaults": selling.DeliveryDefaults, "Fee": selling.Fee, "Pricing": selling.Pricing,
    "Stage": selling.Stage, "Tax": selling.Tax, "Terms": selling.Terms,
    "Resin": standards.Resin, "Standard": standards.Standard,
    "Cause": shop.Cause, "House": shop.House, "Lift": shop.Lift, "Logged": shop.Logged, "MachineData": shop.MachineData,
    "Pace": shop.Pace, "Pay": shop.Pay, "Risk": shop.Risk, "Shop": shop.Shop, "Sundry": shop.Sundry, "Supplier": shop.Supplier,
    "Warnings": shop.Warnings, "Week": shop.Week,
    "Payment": chain.Payment,
    "FeeShare": price_rules.FeeShare, "Rules": price_rules.Rules,
    "Chain": chain.Chain, "Seen": chain.Seen,
    "Cut": lists.Cut,
    "Mix": mixing.Mix,
    "PourCard": bench.PourCard,
    "Step": calendar.Step,
    "Buying": record.Buying, "Priced": record.Priced, "PricedLine": record.PricedLine, "RateShown": record.RateShown,
    "Unsure": record.Unsure, "Variant": record.Variant, "Warned": record.Warned,
})  # fmt: skip


@cache
def records() -> Mapping[str, type[Any]]:
    """Every record that may stand in frozen results, by its word. A word that ledgers hold is for ever: a record that moves or is
    renamed keeps it, and a new record takes one that is free. Raises ValueError where two have one word.
    """
    found = dict(_OF_NO_TRADE)
    for trade in trades().values():
        for word, name in trade.stored:
            if found.setdefault(word, record := trade.named(name)) is not record:
                raise ValueError(f"two records are stored as {word}")
    return MappingProxyType(found)
