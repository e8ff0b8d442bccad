"""How makers write numbers: mixed fractions, feet and inches, ranges; exact, and free of units' meaning.

Text becomes plain ASCII, safe to quote, then numbers with the unit words that follow them. What a unit word means
is decided in `units`. Every refusal is a `Reading` that quotes the text and says what to write.
"""

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from quoting.errors import Reading

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

# What is refused on sight: pattern, what to say of it, what to write ("" for the field's own advice).
_REFUSED = (
    (re.compile("[$\u00a2-\u00a5\u20a0-\u20cf]"), "with a currency sign", ""),
    (re.compile(","), "with a comma in the number", "write the number without a comma: 1250 or 1.25"),
    (re.compile(r"(^|\.\.|:) ?-"), "with a value below zero", ""),
    (re.compile(r"\d_|_\d"), "with an underscore in the number", "write the digits alone: 1250"),
    (re.compile(r"\d[eE][-+]?\d"), "with an exponent", "write the number out: 1250 or 0.5"),
    (re.compile(r"\d \d+(?![\d/])"), "with a space inside a number", "write the digits together: 1250"),
    (re.compile(r"\.{3}"), "with three dots", 'write a range with two dots, as in "3 .. 4 .. 6 h"'),
    (re.compile(r"[^ -~]"), "with a character that is no plain letter, digit or sign", ""),
)

_NUMBER = r"(?:\d+[ -])?\d+/\d+|\d+\.\d+|\.\d+|\d+"
_ONE = re.compile(rf"(?P<number>{_NUMBER}) ?(?P<unit>[A-Za-z%'\"/].*)?")
_TWO = re.compile(rf"(\d+) ?([A-Za-z]+|')[ -]?({_NUMBER}) ?([A-Za-z]+|\")")
_RANGE = re.compile(r" ?\.\. ?")


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


class Part(NamedTuple):
    """One number and the unit word after it, "" where there is none."""

    number: Fraction
    unit: str


class Words(NamedTuple):
    """A maker's text in plain ASCII, with what to quote and what to advise if it cannot be read."""

    plain: str
    quoted: str
    wanted: str

    def wrong(
        self, why: str = "", write: str = "", *, code: str = "not_a_measure", **values: object
    ) -> Reading:
        """The error for this text: `why` follows the quotation, `write` replaces the usual advice."""
        return _unread(self.quoted, write or self.wanted, code, why, **values)


def unread(text: str, write: str, code: str, why: str = "", /, **values: object) -> Reading:
    """The error for a text that is quoted; `why` follows the quotation."""
    return _unread(quoted(text), write, code, why, **values)


def _unread(quotation: str, write: str, code: str, why: str, **values: object) -> Reading:
    words = f"found {quotation}{', ' if why else ''}{why}"
    return Reading(words, write, code, **{"found": quotation[1:-1], **values})


def words(text: object, wanted: str) -> Words:
    """Text made plain; `wanted` is the usual advice, such as 'write a length such as "32 mm"'.

    Raises Reading for what is not text, is empty or over 60 characters, or holds a comma, a sign,
    an exponent, a space inside a number or a character outside ASCII.
    """
    if not isinstance(text, str):
        raise Reading(f"found {named(text)}", wanted, "not_text", found=named(text))
    found = Words(text, quoted(text), wanted)
    if len(text) > MOST_CHARACTERS:
        raise found.wrong(f"over {MOST_CHARACTERS} characters", code="too_long", most=MOST_CHARACTERS)
    found = found._replace(plain=in_ascii(text))
    if not found.plain:
        raise found.wrong("which is empty", code="empty")
    for pattern, why, write in _REFUSED:
        if pattern.search(found.plain):
            raise found.wrong(why, write)
    return found


def bounds(text: Words) -> list[Words]:
    """The values of a range such as "3 .. 4 .. 6 h", as text; one for text without `..`."""
    return [text._replace(plain=piece) for piece in _RANGE.split(text.plain)]


def parts(text: Words) -> tuple[Part, ...]:
    """One value: a number and its unit word, or two such parts as in `5' 6 1/2"` and `1 h 30 min`.

    Raises Reading for anything else, a zero denominator or an improper mixed fraction ("1 5/4").
    """
    if both := _TWO.fullmatch(text.plain):
        whole, unit, rest, rest_unit = both.groups()
        return Part(Fraction(whole), unit), Part(_number(rest, text), rest_unit)
    if one := _ONE.fullmatch(text.plain):
        return (Part(_number(one["number"], text), one["unit"] or ""),)
    if ".." in text.plain:
        raise text.wrong("where a single value belongs", code="range")
    if re.search(r"\d ?- ?\d", text.plain):
        raise text.wrong(
            "with a dash between numbers", 'write a range with two dots, as in "3 .. 6 h"', code="range"
        )
    raise text.wrong()


def bare(value: object, wanted: str) -> Fraction:
    """A number typed without quotes (int, float or Decimal), exactly.

    Raises Reading for booleans, NaN, infinity, values below zero or beyond a float.
    """
    found = Reading(f"found {named(value)}", wanted, "not_a_number", found=named(value))
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise found
    try:
        exact = Fraction(float(value))
    except (OverflowError, ValueError):  # infinity and too large; NaN
        raise found from None
    if exact < 0:
        raise Reading(f"{found.found}, which is below zero", wanted, "too_small", **found.values)
    return exact


def _number(text: str, whole_text: Words) -> Fraction:
    """`1 1/4`, `1-1/4`, `3/4`, `1.25` or `2`, exactly."""
    if "/" not in text:
        return Fraction(text)
    whole, _, fraction = text.replace("-", " ").rpartition(" ")
    top, bottom = (int(digits) for digits in fraction.split("/"))
    if bottom == 0:
        raise whole_text.wrong("which divides by zero", code="not_a_number")
    if whole and top >= bottom:
        raise whole_text.wrong(f"where {fraction} is not below one", code="not_a_number", fraction=fraction)
    return int(whole or 0) + Fraction(top, bottom)
