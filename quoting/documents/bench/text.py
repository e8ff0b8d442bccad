"""How the maker's sheet speaks: sizes as a tape shows them, batches in mL and g, days with their weekday."""

import math
import re
from collections.abc import Iterable, Sequence
from datetime import date

from quoting.documents.paper.text import Ink, QuoteText
from quoting.measures import shown
from quoting.measures.showing import in_short
from quoting.pricing.record import Priced
from quoting.takeoff.mixing import Mix
from quoting.takeoff.numbers import TOLERANCE
from quoting.values import INCH_M

TIMES, SPACE = "\u00a0× ", "\u00a0"


class MakerText:
    """Words and figures of one maker's sheet, in the units and with the decimal sign of its shop."""

    def __init__(self, priced: Priced, ink: Ink | None = None) -> None:
        from babel.numbers import get_decimal_symbol

        house = priced.shop.shop
        self._quote = QuoteText(priced, ink)
        self.ink, self.inch = self._quote.ink, house.units == "inch"
        self._units, self._locale, self._order = house.units, house.locale, priced.day
        sign = str(get_decimal_symbol(house.locale))
        self._sign = sign if self.ink.draws(sign) else "."
        self.money, self.long_day = self._quote.money, self._quote.day

    def figures(self, text: str) -> str:
        """Figures of ours with the decimal sign of the shop, never broken over two lines."""
        return re.sub(r"(?<=\d)\.(?=\d)", self._sign, text).replace(" ", SPACE).replace("×" + SPACE, "× ")

    def measure(self, value: float, dimension: str) -> str:
        """A measure with three digits that count."""
        return self.figures(in_short(shown(value, dimension, self._units)))

    def sizes(self, sides_m: Iterable[float]) -> str:
        """Sides as they are: fractions of an inch where they are whole 1/32, or tenths of a millimetre."""
        return self.figures(TIMES.join(map(self._side, sides_m)) + (" in" if self.inch else " mm"))

    def _side(self, side_m: float) -> str:
        if self.inch:
            return in_short(shown(side_m, "length", "inch").removesuffix(" in"))
        return f"{round(side_m * 1000, 1):.10g}"

    def rough(self, sides_m: tuple[float, ...]) -> str:
        """Sides of a blank, rounded up to the next 1/16 in or 1 mm."""
        return self._up(sides_m, INCH_M / 16 if self.inch else 0.001)

    def to_cut(self, sides_m: tuple[float, ...]) -> str:
        """Sides of film and cloth, rounded up to the next 1/2 in or 10 mm, never broken over two lines."""
        return self._up(sides_m, INCH_M / 2 if self.inch else 0.01).replace(TIMES, TIMES.rstrip() + SPACE)

    def _up(self, sides_m: tuple[float, ...], step_m: float) -> str:
        return self.sizes(math.ceil(side / step_m * (1 - TOLERANCE)) * step_m for side in sides_m)

    def height(self, height_m: float) -> str:
        """A height as a caliper shows it: in thousandths of an inch, or hundredths of a millimetre."""
        return self.figures(f"{height_m / INCH_M:.3f} in" if self.inch else f"{height_m * 1000:.2f} mm")

    def run(self, length_m: float) -> str:
        """A length off a roll, rounded up to a foot or a tenth of a metre."""
        whole = math.ceil(length_m / (12 * INCH_M if self.inch else 0.1) * (1 - TOLERANCE))
        return self.figures(f"{whole} ft" if self.inch else f"{whole / 10:g} m")

    def at_least(self, quantity: float, unit: str) -> str:
        """A quantity rounded up to three digits that count; things counted by the piece have no unit."""
        if quantity <= 0:
            return self.figures(f"0 {unit}")
        step = 10.0 ** (math.floor(math.log10(quantity)) - 2)
        up = math.ceil(quantity / step * (1 - TOLERANCE)) * step
        plain = "" if unit == "each" else f" {unit}"
        return self.figures(f"{float(f'{up:.12g}'):.10g}{plain}")

    def packs(self, packs: str) -> str:
        """So many packs of a size."""
        return self.figures(packs.replace(" x ", " × ").removesuffix(" each"))

    def minutes(self, hours: float) -> str:
        """Whole minutes."""
        return self.figures(f"{hours * 60:.0f} min")

    def share(self, share: float) -> str:
        """Whole per cent."""
        return self.figures(f"{share * 100:.0f} %")

    def day(self, day: date) -> str:
        """A weekday with its date, the year where it is not the year of the quote."""
        from babel.dates import format_skeleton

        locale = self._locale if self._locale.startswith("en") else "en_GB"
        skeleton = "MMMEd" if day.year == self._order.year else "yMMMEd"
        return str(format_skeleton(skeleton, day, locale=locale)).replace(" ", SPACE)

    def laid(self, plies: Sequence[tuple[str, int]]) -> str:
        """Plies in the order they are laid; a pattern that repeats is told once."""
        runs = list(plies)
        lengths = (length for length in range(1, len(runs) // 2 + 1) if len(runs) % length == 0)
        again = next((len(runs) // one for one in lengths if runs == runs[:one] * (len(runs) // one)), 1)
        said = " + ".join(f"{count} {self.ink('item', item)}" for item, count in runs[: len(runs) // again])
        return f"{again} × ({said})" if again > 1 else said

    def mix(self, mix: Mix) -> str:
        """Batches, and one of them by volume and by mass: the whole, and resin + hardener where known."""
        ways = (
            (mix.volume_m3 * 1e6, mix.by_volume_m3, 1e6, "mL"),
            (mix.mass_kg * 1e3, mix.by_mass_kg, 1e3, "g"),
        )
        said = []
        for whole, parts, size, unit in ways:
            shares = [part * size for part in parts or ()]
            digits = 0 if min([whole, *shares]) >= 20 else 1
            split = " + ".join(f"{share:.{digits}f}" for share in shares)
            total = sum(round(share, digits) for share in shares) if shares else whole
            said.append(self.figures(f"{total:.{digits}f} {unit}" + (f" ({split})" if split else "")))
        known = [parts is not None for _, parts, *_ in ways]
        if all(known):
            return f"{mix.batches}{TIMES}{said[0]} or {said[1]}"
        # A whole without its parts must not be measured out: it is said apart, as a check.
        by, check = said if known[0] else said[::-1]
        if not any(known):
            return f"{mix.batches}{TIMES}{said[0]}, {said[1]}; ratio by the data sheet"
        return f"{mix.batches}{TIMES}{by.removesuffix(')')}; in all {check})"
