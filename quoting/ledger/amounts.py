"""Amounts of money as the ledger keeps them: whole minor units."""

from __future__ import annotations

from decimal import Decimal


def in_minor(amount: Decimal, digits: int) -> int:
    """Whole minor units of an exact amount. Raises ValueError where it is finer than that."""
    units = amount.scaleb(digits)
    if units != units.to_integral_value():
        raise ValueError(f"{amount} is finer than {digits} minor digits")
    return int(units)


def of_minor(units: int, digits: int) -> Decimal:
    """The exact amount of so many minor units."""
    return Decimal(units).scaleb(-digits)
