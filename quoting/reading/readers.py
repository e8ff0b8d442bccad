"""How single values of a file are read, by kind: each leaves a plain value, or raises Reading with what was found and what to write."""

import re
import unicodedata
from datetime import date
from typing import NamedTuple

from quoting import measures
from quoting.errors import Reading
from quoting.measures.units import Unit
from quoting.values import Uncertain

LONGEST_TEXT = 20_000
MOST_COUNTED = 1_000_000
FORMAT = 1


def text(value: object) -> str:
    """Text of one or more lines, without control characters, NFC."""
    if not isinstance(value, str):
        raise unlike(value, 'write text in quotes, such as "oak bench"', "not_text")
    clean = unicodedata.normalize("NFC", value)
    if any(unicodedata.category(c) in ("Cc", "Cs") and c not in "\n\t" for c in clean):
        raise Reading("found a control character", "write plain text", "not_text")
    if len(clean) > LONGEST_TEXT:
        found, most = len(clean), LONGEST_TEXT
        raise Reading(
            f"found {found} characters", f"write at most {most}", "too_long", found=found, most=most
        )
    return clean.strip()


def word(value: object) -> str:
    """Text that must not be empty: a name, an item, a part."""
    clean = text(value)
    if not clean:
        raise Reading("found nothing", "write a name", "empty")
    return clean


def shown(value: object) -> str:
    """A value as it stands in the file, for messages."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "a list"
    return "a table" if isinstance(value, dict) else str(value)


def unlike(value: object, write: str, code: str, /, **values: object) -> Reading:
    """The error for a value of another kind."""
    return Reading(f"found {shown(value)}", write, code, found=shown(value), **values)


def whole(value: object, least: int) -> int:
    """A whole number from `least` on, and no more than a shop can count."""
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= MOST_COUNTED:
        wanted = f"write a whole number from {least} to {MOST_COUNTED}, without quotes"
        raise unlike(value, wanted, "not_a_number", least=least, most=MOST_COUNTED)
    return value


def flag(value: object) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise unlike(value, "write true or false, without quotes", "not_yes_or_no")
    return value


def day(value: object) -> date:
    """A day, as TOML has it or as text."""
    if isinstance(value, date):
        return date(value.year, value.month, value.day)
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        raise unlike(value, "write a day such as 2027-03-01", "not_a_day") from None


def coordinates(value: object) -> tuple[float, float]:
    """Latitude and longitude [degrees]."""
    wanted = "write [latitude, longitude] in degrees, such as [47.1, -122.4]"
    if not isinstance(value, list) or len(value) != 2:
        raise unlike(value, wanted, "not_a_place")
    for number, limit in zip(value, (90, 180), strict=True):
        if isinstance(number, bool) or not isinstance(number, int | float) or not -limit <= number <= limit:
            raise unlike(number, wanted, "not_a_place")
    return float(value[0]), float(value[1])


def outline(value: object) -> tuple[tuple[float, float], ...]:
    """The corners of a shape in turn [m], at least three."""
    wanted = 'write at least three corners in turn, such as [["0 in", "0 in"], ["20 in", "0 in"], ["12 in", "9 in"]]'
    if not isinstance(value, list) or len(value) < 3:
        raise unlike(value, wanted, "shape")
    if any(not isinstance(corner, list) or len(corner) != 2 for corner in value):
        raise Reading("found a corner that is no pair of measures", wanted, "shape")
    return tuple((measures.measure(x, "length"), measures.measure(y, "length")) for x, y in value)


class Quantity(NamedTuple):
    """An amount of a bought thing: the canonical range, and the unit it was written in."""

    amount: Uncertain
    unit: Unit


EACH = Unit("each", "count", 1.0)


def quantity(value: object) -> Quantity:
    """An amount with its unit; a plain number counts things."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return Quantity(measures.span(value, "number"), EACH)
    clean = text(value)
    spelled = re.search(r"[A-Za-z][A-Za-z0-9 ]*$", clean)
    if spelled is None:
        return Quantity(measures.span(clean, "number"), EACH)
    unit = measures.unit(spelled.group().strip())
    if unit.dimension == "count":
        return Quantity(measures.span(clean[: spelled.start()].strip(), "number"), unit)
    return Quantity(measures.span(clean, unit.dimension), unit)


class Discount(NamedTuple):
    """What comes off a price: a share of it, or an amount."""

    share: float
    amount: float


def discount(value: object) -> Discount:
    """A share where it is written in per cents, else an amount [money]."""
    if isinstance(value, str) and "%" in value:
        return Discount(measures.measure(value, "share"), 0.0)
    return Discount(0.0, measures.measure(value, "money"))


def plies(value: object) -> tuple[str, ...]:
    """Items of a build, from one name or a list of them."""
    names = value if isinstance(value, list) else [value]
    if not names:
        raise Reading("found an empty list", "write an item, or a list of items", "empty")
    return tuple(word(name) for name in names)


def format_read(value: object) -> int:
    """The format of a file, where it is the one that this version reads."""
    if value is True or value != FORMAT:
        raise unlike(value, f"write {FORMAT}, the format this version reads", "format", known=FORMAT)
    return FORMAT
