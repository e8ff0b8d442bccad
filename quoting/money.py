"""Money: exact from the line upwards, in the currency's own minor digits."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal, InvalidOperation
from typing import Any

from quoting.errors import refused

PLACES = 9  # a float is trusted to this many decimals: 2.675 is meant where 2.67499999... is stored


def step(digits: int) -> Decimal:
    """The smallest amount of a currency with `digits` minor digits: 0.01 for 2, 1 for 0."""
    return Decimal(1).scaleb(-digits)


def trusted(value: float | Decimal) -> Decimal:
    """A float as the decimal it stands for: rounded to 9 decimals; a Decimal as it is."""
    return value if isinstance(value, Decimal) else Decimal(f"{value:.{PLACES}f}")


def exact(value: float | Decimal, digits: int) -> Decimal:
    """An amount in minor digits, half-up (EN 16931 practice: 365.125 prints 365.13).

    Raises ValueError for NaN and infinity, Problems for what is beyond all money.
    """
    amount = trusted(value)
    if not amount.is_finite():
        raise ValueError(f"{value} is no amount of money")
    try:
        return amount.quantize(step(digits), ROUND_HALF_UP)
    except InvalidOperation:
        words = f"found an amount of {amount:.3g}", "write smaller quantities or prices"
        raise refused("", *words, code="too_large", found=float(amount)) from None


def rounded_up(value: float | Decimal, multiple: Decimal) -> Decimal:
    """The least whole multiple of `multiple` that is not below `value`."""
    return (trusted(value) / multiple).to_integral_value(ROUND_CEILING) * multiple


def shared_out(total: Decimal, weights: Sequence[Decimal], digits: int) -> list[Decimal]:
    """Parts of `total` in proportion to `weights` that sum to it exactly: largest remainder.

    Every part is floored to minor digits, the units left over go to the largest remainders, ties to
    the first. A negative total mirrors the positive one. Raises ValueError if weights are negative
    or sum to nothing.
    """
    if total < 0:
        return [-part for part in shared_out(-total, weights, digits)]
    whole = sum(weights, Decimal(0))
    if whole <= 0 or min(weights) < 0:
        raise ValueError("weights must be zero or more, and not all zero")
    unit = step(digits)
    units = int((total / unit).to_integral_value())
    wanted = [units * weight / whole for weight in weights]
    parts = [int(share) for share in wanted]
    by_remainder = sorted(range(len(weights)), key=lambda i: (parts[i] - wanted[i], i))
    for i in by_remainder[: units - sum(parts)]:
        parts[i] += 1
    return [part * unit for part in parts]


def minor_digits(currency: str) -> int:
    """Minor digits of an ISO 4217 currency; ValueError for a code that does not exist."""
    from babel.numbers import get_currency_precision, list_currencies

    if currency not in list_currencies():
        raise ValueError(f'"{currency}" is no currency code')
    return int(get_currency_precision(currency))


OWN = "en_US"
"""The locale of amounts beside the tool's own words: with the decimal point that files and all other figures there have."""


def printed(amount: Decimal, currency: str, locale: str) -> str:
    """An amount as people of `locale` read it. The amount is exact already, nothing is rounded here."""
    from babel.numbers import format_currency

    text = format_currency(amount, currency, locale=locale, decimal_quantization=True)
    return narrow(text)


def whole(amount: float, currency: str, locale: str) -> str:
    """An amount that is only known roughly, in whole units of the currency, as people of `locale` read it."""
    from copy import copy

    from babel import Locale

    pattern: Any = copy(Locale.parse(locale).currency_formats["standard"])
    pattern.frac_prec = (0, 0)
    return narrow(pattern.apply(exact(amount, 0), locale, currency=currency, currency_digits=False))


def narrow(text: Any) -> str:
    """Text with the characters that common fonts lack replaced by their plain likeness."""
    return str(text).replace("\u202f", "\u00a0").replace("\uffe5", "\u00a5")
