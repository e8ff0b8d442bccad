"""What a maker says of something that happened, in words: from the command, or from a row of a file."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Texts as they were written; "" where nothing was said. `value` is what the kind is about: an amount, a
    distance, a sum of money, or words. `of` names an item, a receipt's thing, or a payment's stage.
    """

    kind: str
    value: str = ""
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
