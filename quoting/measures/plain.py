"""What a maker typed, brought to plain ASCII to be read, and made safe to quote in an error message."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

MOST_CHARACTERS = 60

_PLAIN = str.maketrans(
    {
        "\u2018": "'", "\u2019": "'", "\u2032": "'",  # single quotes, prime
        "\u201c": '"', "\u201d": '"', "\u2033": '"',  # double quotes, double prime
        "\u2010": "-", "\u2011": "-", "\u2013": "-", "\u2212": "-",  # hyphens, dash, minus
        "\u2044": "/", "\u00d7": "x",  # fraction slash, times
    }
)  # fmt: skip
_POWER = re.compile("(?<=[A-Za-z])[\u00b2\u00b3]")  # m² and ft³; 5² stays what it is, and is refused

_WORDS_FOR = {"dict": "a table", "NoneType": "nothing"}


def in_ascii(text: str) -> str:
    """Text with quotes, primes, vulgar fractions, powers and spaces brought to ASCII where known."""
    text = _POWER.sub(lambda power: unicodedata.normalize("NFKC", power[0]), text)
    spelled = (
        " " + unicodedata.normalize("NFKC", letter) + " "
        if unicodedata.decomposition(letter).startswith("<fraction>")
        else letter
        for letter in text
    )
    return " ".join("".join(spelled).translate(_PLAIN).replace("''", '"').split())


def quoted(text: str) -> str:
    """Text safe to print on one line, cut to the length that can be read."""
    printable = "".join(letter if letter.isprintable() else "?" for letter in text)
    return f'"{printable[:MOST_CHARACTERS]}{"..." if len(text) > MOST_CHARACTERS else ""}"'


def named(value: object) -> str:
    """A value that is not text, in a few words."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float | Decimal):
        try:
            return str(value)[:MOST_CHARACTERS]
        except ValueError:  # Python refuses to print integers of thousands of digits
            return "a number with too many digits"
    kind = type(value).__name__
    return _WORDS_FOR.get(kind, f"a {kind}")
