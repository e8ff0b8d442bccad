"""What a maker says of something that happened, in words, and the reading of its values with all that is wrong in them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from quoting import measures
from quoting.advice import Advice
from quoting.errors import Reading
from quoting.measures.spelling import unread
from quoting.money import exact, trusted
from quoting.values import key

_QUANTITY_FIRST = re.compile(r"([\d .,/+-]+ ?(?:bd ft|[A-Za-z]+[23]?)?) +(?:of +)?(\D.*)")

HOURS_OF_A_DAY = 24
MOST_MONEY = Decimal(10) ** 12
EARLIEST = date(1970, 1, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """Texts as they were written; "" where nothing was said. `value` is what the kind is about: an amount, a
    distance, a sum of money, or words. `of` names an item, a receipt's thing, or a payment's stage; `what` stands for
    whichever name the kind needs most.
    """

    kind: str
    value: str = ""
    what: str = ""
    on: str = ""
    line: str = ""
    task: str = ""
    part: str = ""
    stage: str = ""
    of: str = ""
    quantity: str = ""
    who: str = ""
    round: str = ""
    plies: str = ""
    hours: str = ""
    cost: str = ""
    receipt: str = ""
    words: str = ""
    about: bool = False
    unplanned: bool = False

    def placed(self) -> Saying:
        """The same with `what` in its place: the work of hours, the item of material and money. What is done for good
        says so by its value. A name that stands there already is not written over.
        """
        what, value = self.what, self.value
        if self.kind == "done":
            what, value = what or value, ""
        places = {"hours": "stage", "machine": "task", "done": "stage"}
        place = places.get(self.kind, "of")
        if not what or getattr(self, place):
            return self
        named: dict[str, Any] = {place: what}
        return replace(self, what="", value=value, **named)


def day_of(text: str, today: date) -> date:
    """A day: "2027-03-01", "today", "yesterday", or nothing for today. Raises Reading for a day to come."""
    words = text.strip().casefold()
    if words in ("", "today"):
        return today
    if words == "yesterday":
        return today - timedelta(days=1)
    try:
        found = date.fromisoformat(text.strip())
    except ValueError:
        raise unread(text, "write a day such as 2027-03-01", "not_a_day") from None
    if found > today:
        raise Reading(
            f"found {found}, which is still to come",
            f"write a day up to today ({today})",
            "day_order",
            found=found,
            today=today,
        )
    if found < EARLIEST:
        raise Reading(f"found {found}", "write a day such as 2027-03-01", "not_a_day", found=found)
    return found


def hours_of(text: str, about: bool = False) -> float:
    """Hours: "2 1/2 h", "45 min", or a number alone. More than a day has only where it is a total for days past."""
    words = text.strip()
    found = measures.measure(words if not _is_number(words) else f"{words} h", "time")
    if found <= 0:
        raise unread(text, 'write a time such as "2 1/2 h"', "not_a_measure")
    if found > HOURS_OF_A_DAY and not about:
        raise unread(text, Advice("about_past_days"), "too_large", "more than a day has")
    return found


def quantity_of(text: str, unit_name: str) -> float:
    """A quantity in the unit of a line, written in any unit of that kind; a number alone for things counted."""
    unit = measures.unit(unit_name)
    words = text.strip()
    if unit.dimension == "count":
        found = measures.measure(_counted(words, unit.name), "number")
    else:
        found = measures.measure(words, unit.dimension) / unit.factor
    if found <= 0:
        raise unread(text, f"write an amount above zero, in {unit.name}", "not_a_measure", name=unit.name)
    return found


def apart(text: str, names: Iterable[str]) -> tuple[str, str]:
    """Quantity and item of one text, the item last or first: "4.2 L laminating epoxy" -> "4.2 L", "laminating epoxy".

    Where no name fits, the words after the first unit are the item.
    """
    words = " ".join(text.split())
    lower = words.casefold()
    for name in sorted(names, key=len, reverse=True):
        item = key(name)
        if lower.endswith(f" {item}"):
            return words[: -len(item)].removesuffix(" of ").strip(), name
        if lower.startswith(f"{item} "):
            return words[len(item) :].strip(), name
    found = _QUANTITY_FIRST.fullmatch(words)
    return (found[1], found[2]) if found and not _is_unit(found[2]) else (words, "")


def _is_unit(words: str) -> bool:
    try:
        measures.unit(words)
    except Reading:
        return False
    return True


def money_of(text: str, digits: int) -> Decimal:
    """An amount of money above zero, as exact as the currency is. Raises Reading otherwise."""
    words = text.strip()
    if "," in words:
        raise unread(text, "write 1250 or 12.50, without a comma", "not_a_number", "with a comma in it")
    if not _is_number(words):
        raise unread(text, "write an amount without its currency, such as 72.50", "not_a_number")
    amount = Decimal(words)
    if amount != exact(trusted(amount), digits):
        raise unread(text, f"write at most {digits} decimals", "not_a_number", digits=digits)
    if not 0 < amount < MOST_MONEY:
        raise unread(text, "write an amount above zero, such as 72.50", "zero")
    return exact(amount, digits)


def count_of(text: str, least: int) -> int:
    """A whole number."""
    words = text.strip()
    if not words.isdecimal() or not least <= int(words[:9]) or len(words) > 6:
        raise unread(text, f"write a whole number from {least} on", "not_a_number", least=least)
    return int(words)


def _counted(words: str, unit: str) -> str:
    for ending in (f"{unit}s", unit, "each", "x"):
        if words.casefold().endswith(ending):
            return words[: -len(ending)].strip()
    return words


def _is_number(words: str) -> bool:
    whole, _, part = words.partition(".")
    return (whole + part).isascii() and (whole + part).isdecimal() and not words.endswith(".")
