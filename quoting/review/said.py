"""What a maker says of something that happened, in words: from the command, or from a row of a file."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
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

    def placed(self) -> Said:
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


def texts_of(said: Said) -> dict[str, str]:
    """Every text of a saying, by its field."""
    values = {field.name: getattr(said, field.name) for field in fields(said)}
    return {name: value for name, value in values.items() if isinstance(value, str)}
