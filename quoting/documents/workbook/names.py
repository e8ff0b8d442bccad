"""Which sheet of the workbook shows what, and how paths and slots read there."""

from collections.abc import Mapping

from quoting.costing.lines import Line
from quoting.job.starters import words_of
from quoting.trades.registry import derived, groups

HOMES = {
    "pay": "Rates", "overhead": "Rates", "machine": "Rates", "sundries": "Rates", "supplier": "Rates",
    "channel": "Rates", "pace": "Labour", "standard": "Labour", "delivery": "Delivery", "prices": "Prices",
}  # fmt: skip
"""The sheet of inputs by the section they stand in; others stand on the first sheet that needs them."""
HEADINGS = {
    "n": "number", "driver": "count", "most": "largest mix", "least": "least charge", "setup": "set-up",
    "running": "running time", "load": "loading", "free": "free radius", "rate": "pay an hour",
    "overhead": "overhead an hour",
}  # fmt: skip
"""Slots of a basis of several trades, or of none, whose own name does not read as a heading; trades say theirs in words."""


@derived
def take_off_sheets() -> dict[str, str]:
    """The take-off sheet of every group of lines that rests on the piece, in printed order."""
    return {
        **{name: group.sheet for name, group in groups().items()},
        "labour": "Labour",
        "machine": "Machines",
    }


def home(line: Line) -> str:
    """The take-off sheet of a line; "" for lines of the job as a whole."""
    if line.group == "delivery_carried":
        return "Delivery"
    if line.group == "setback" and line.unit == "h":
        return "Labour"
    return take_off_sheets().get(line.group, "")


def heading(slot: str, line: Line) -> str:
    """The heading of a column: the name of a slot of the lines below it, of which this is one, as their trade says it."""
    own: Mapping[str, str] = words_of(line.id.partition(".")[0]).get("headings", {})
    return own.get(slot) or HEADINGS.get(slot) or slot.replace("_", " ")


def kind(line: Line) -> str:
    """What a line is, as the heading of its table: the last word of its id, without a number."""
    last = line.id.rpartition(".")[2].rstrip("0123456789").rstrip("-")
    return last.replace("-", " ").replace("_", " ")


def said_path(path: str) -> str:
    """A dotted path as words: "hardwood.leg.waste" becomes "hardwood leg: waste"."""
    if path.startswith("prices."):
        return path.partition(".")[2]
    place, _, field = path.rpartition(".")
    return f"{place.replace('.', ' ')}: {field}".replace("_", " ").strip(": ")


TITLES = {
    "item": "bought things", "price": "outside work", "cost": "setbacks", "carried": "trip in the price",
    "packs": "in whole packs", "machine": "machine hours",
}  # fmt: skip
"""Kinds of lines whose own word does not read as the title of a table."""


def title_of(line: Line) -> str:
    """The title of the table that a line stands in."""
    own = kind(line)
    if own.startswith("cycle "):
        return "used up each round"
    return "flattening" if own.startswith("flatten") else TITLES.get(own, own)
