"""The words under which the records of a price stand in the ledger, and what they are read back into."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from quoting import measures, values
from quoting.job import job, resin_trades, selling, shop, standards, stock, trades
from quoting.nesting import record as cut_plan
from quoting.pricing import bench, calendar, chain, lists, price_rules, record
from quoting.reading import fields

if TYPE_CHECKING:
    from collections.abc import Mapping

RECORDS: Mapping[str, type[Any]] = MappingProxyType({
    "Uncertain": values.Uncertain,
    "Unit": measures.Unit,
    "Section": measures.Section,
    "CutPlan": cut_plan.CutPlan, "Offcut": cut_plan.Offcut, "SawStep": cut_plan.SawStep, "SawnPiece": cut_plan.SawnPiece,
    "SawnStock": cut_plan.SawnStock,
    "Discount": fields.Discount, "NoTime": fields.NoTime, "Quantity": fields.Quantity,
    "Buy": trades.Buy, "Finish": trades.Finish, "Glass": trades.Glass, "Hardwood": trades.Hardwood, "Machine": trades.Machine,
    "Metal": trades.Metal, "Outwork": trades.Outwork, "Setback": trades.Setback, "Sheet": trades.Sheet, "Work": trades.Work,
    "Casting": resin_trades.Casting, "Coating": resin_trades.Coating, "Flatten": resin_trades.Flatten,
    "Laminate": resin_trades.Laminate, "TrialStrip": resin_trades.TrialStrip,
    "BarLength": stock.BarLength, "Board": stock.Board, "CutDefaults": stock.CutDefaults, "Defect": stock.Defect,
    "JobCut": stock.JobCut, "SheetSize": stock.SheetSize,
    "Client": job.Client, "Delivery": job.Delivery, "Job": job.Job, "JobPrice": job.JobPrice, "JobRisk": job.JobRisk,
    "Option": job.Option, "Piece": job.Piece, "Quote": job.Quote,
    "Channel": selling.Channel, "DeliveryDefaults": selling.DeliveryDefaults, "Fee": selling.Fee, "Pricing": selling.Pricing,
    "Stage": selling.Stage, "Tax": selling.Tax, "Terms": selling.Terms,
    "Bagging": standards.Bagging, "CastingDefaults": standards.CastingDefaults, "CoatingDefaults": standards.CoatingDefaults,
    "FinishDefaults": standards.FinishDefaults, "LaminateDefaults": standards.LaminateDefaults,
    "MetalDefaults": standards.MetalDefaults, "OwnPly": standards.OwnPly, "OwnSpecies": standards.OwnSpecies,
    "Resin": standards.Resin, "SheetDefaults": standards.SheetDefaults, "Standard": standards.Standard,
    "Tariff": standards.Tariff, "Timber": standards.Timber,
    "Cause": shop.Cause, "House": shop.House, "Lift": shop.Lift, "Logged": shop.Logged, "MachineData": shop.MachineData,
    "Pace": shop.Pace, "Pay": shop.Pay, "Risk": shop.Risk, "Shop": shop.Shop, "Sundry": shop.Sundry, "Supplier": shop.Supplier,
    "Warnings": shop.Warnings, "Week": shop.Week,
    "Payment": chain.Payment,
    "FeeShare": price_rules.FeeShare, "Rules": price_rules.Rules,
    "Chain": chain.Chain, "Seen": chain.Seen,
    "Cut": lists.Cut,
    "Mix": bench.Mix,
    "PourCard": bench.PourCard,
    "LaminateCard": bench.LaminateCard, "RoundCard": bench.RoundCard,
    "Step": calendar.Step,
    "Buying": record.Buying, "Priced": record.Priced, "PricedLine": record.PricedLine, "RateShown": record.RateShown,
    "Unsure": record.Unsure, "Variant": record.Variant, "Warned": record.Warned,
})  # fmt: skip
"""Every record that may stand in frozen results, by its word. A word that ledgers hold is for ever: a record that moves or is
renamed keeps it, and a new record takes one that is free.
"""
