"""The recipe of each command: load, compute, write. The only place that knows folders and today."""

from quoting.runs.pricing import check, price, quote, rates, start

__all__ = ["check", "price", "quote", "rates", "start"]
