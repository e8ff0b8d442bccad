"""Amounts on the terminal: in the shop's currency, with the decimal point that its files and all other figures there have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.money import OWN, printed, whole

if TYPE_CHECKING:
    from decimal import Decimal

    from quoting.pricing.record import Priced


def money(plan: Priced, amount: Decimal) -> str:
    """An amount of a priced piece to the cent."""
    return money_in(plan.currency, amount)


def about(plan: Priced, amount: float) -> str:
    """An amount of which cents would say too much."""
    return about_in(plan.currency, amount)


def money_in(currency: str, amount: Decimal) -> str:
    """An amount of a currency to the cent."""
    return printed(amount, currency, OWN)


def about_in(currency: str, amount: float) -> str:
    """An amount of a currency, in whole units."""
    return whole(amount, currency, OWN)
