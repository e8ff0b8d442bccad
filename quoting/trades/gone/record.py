"""What stands in a job for a part whose trade is gone."""

from dataclasses import dataclass

from quoting.reading import fields
from quoting.takeoff.needs import Need


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone(fields.Part):
    """A part that costs what its quote says: its frozen lines, as needs at their own price and hours."""

    needs: tuple[Need, ...] = ()
