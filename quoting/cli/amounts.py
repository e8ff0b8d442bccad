"""Amounts of a priced piece on the terminal, in its currency and as its shop writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.money import printed, whole

if TYPE_CHECKING:
    from decimal import Decimal

    from quoting.pricing.record import Priced


def money(plan: Priced, amount: Decimal) -> str:
    """An amount to the cent."""
    return printed(amount, plan.currency, plan.shop.shop.locale)


def about(plan: Priced, amount: float) -> str:
    """An amount of which cents would say too much."""
    return whole(amount, plan.currency, plan.shop.shop.locale)
