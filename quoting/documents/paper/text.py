"""How papers speak: the faces they are set in, and labels, dates and amounts of a locale, with only characters a face can draw."""

import unicodedata
from bisect import bisect_right
from collections.abc import Mapping
from copy import copy
from datetime import date
from decimal import Decimal
from functools import cache
from io import BytesIO
from threading import Lock
from typing import Any

from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily, stringWidth
from reportlab.pdfbase.ttfonts import TTFont

from quoting.job.starters import shipped
from quoting.measures import shown
from quoting.money import narrow, printed, whole
from quoting.pricing.record import Priced, Warned

REGULAR, BOLD = "Quote", "Quote-Bold"
_FILES = {REGULAR: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}

STAND_IN = "□"
"""Drawn for a character that the font lacks: a gap that can be seen."""


def face_bytes(name: str) -> bytes:
    """The font file of a face."""
    return shipped("templates").joinpath("fonts", _FILES[name]).read_bytes()


class _Face(TTFont):
    """A face that goes into several files at once. The library reads glyphs by a place in the font file which all of them would
    share: here each file has its own.
    """

    def addObjects(self, doc: Any) -> None:  # noqa: N802
        """Put what a file uses of the face into it."""
        own = copy(self)
        own.face = copy(self.face)
        super(_Face, own).addObjects(doc)


_REGISTERING = Lock()


def glyphs() -> frozenset[str]:
    """Register both faces, and return the characters that each of them can draw.

    A character that a face lacks is drawn as nothing at all, without a warning: ask first. Threads that ask first at the same
    time wait for one registration: a second one would take the faces from under a paper that is being drawn.
    """
    with _REGISTERING:
        return _registered()


@cache
def _registered() -> frozenset[str]:
    drawn = []
    for name in _FILES:
        face = _Face(name, BytesIO(face_bytes(name)))
        registerFont(face)
        drawn.append({chr(code) for code in face.face.charToGlyph})
    registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return frozenset.intersection(*map(frozenset, drawn))


def width(text: str, font: str, size: float) -> float:
    """Width of a line of text [pt]."""
    return float(stringWidth(text, font, size))


def cut(text: str, font: str, size: float, room: float) -> str:
    """The text on one line, shortened with an ellipsis where it is wider than `room` [pt]."""
    line = " ".join(text.split())
    if width(line, font, size) <= room:
        return line
    most = bisect_right(range(len(line)), room, key=lambda kept: width(line[:kept] + "…", font, size)) - 1
    return line[: max(most, 0)].rstrip() + "…"


class Ink:
    """Makes text fit to be drawn, and remembers by field what could not be. Without glyphs the text goes into a
    file, which no font of ours draws: every character stands.
    """

    def __init__(self, glyphs: frozenset[str] | None) -> None:
        self._glyphs = glyphs
        self._missing: dict[str, dict[str, None]] = {}

    def __call__(self, field: str, text: str) -> str:
        """The text composed, without invisible signs, with a stand-in for what the font lacks."""
        if self._glyphs is None:
            return unicodedata.normalize("NFC", text)
        composed = unicodedata.normalize("NFC", narrow(text).replace("\t", " "))
        kept = [c for c in composed if unicodedata.category(c) != "Cf"]
        lacking = dict.fromkeys(c for c in kept if c != "\n" and c not in self._glyphs)
        if lacking:
            self._missing.setdefault(field, {}).update(lacking)
        return "".join(STAND_IN if c in lacking else c for c in kept)

    def draws(self, text: str) -> bool:
        """True where the font has every character of the text."""
        return self._glyphs is None or self._glyphs.issuperset(narrow(text))

    @property
    def warnings(self) -> tuple[Warned, ...]:
        """One warning for each field with characters that the font lacks."""
        found = []
        for field, lacking in self._missing.items():
            signs = ", ".join(f"{c} (U+{ord(c):04X})" for c in lacking)
            words = f"the font of the quote lacks {signs}: {STAND_IN} is printed instead"
            found.append(Warned("missing_glyph", field, words))
        return tuple(found)


class QuoteText:
    """The words of one quote, in the locale, currency and units of its shop; drawn in our faces unless an ink says otherwise."""

    def __init__(self, priced: Priced, ink: Ink | None = None) -> None:
        house = priced.shop.shop
        self.ink = Ink(glyphs()) if ink is None else ink
        self._locale, self._currency, self._units = house.locale, house.currency, house.units
        self._words = priced.wording["quote"]
        self.language = self._words["language"] or "en"

    def label(self, name: str, /, **slots: str) -> str:
        """A label of the wording file with its slots filled; a slot it does not know stays as it is."""
        return filled(self.ink(f"wording.quote.{name}", self._words[name]), slots)

    def money(self, amount: Decimal) -> str:
        """An amount as its readers expect it, never broken over two lines."""
        return self._kept(printed(amount, self._currency, self._locale))

    def about(self, amount: float) -> str:
        """An amount that is only known roughly, in whole units, never broken over two lines."""
        return self._kept(whole(amount, self._currency, self._locale))

    def _kept(self, amount: str) -> str:
        return self.ink("shop.currency", amount).replace(" ", "\u00a0").replace("-", "\u2212")

    def day(self, day: date) -> str:
        """A date in words where they are of the locale's language; else in the figures of the locale,
        and in the language of the words where figures could be read with day and month exchanged.
        """
        from babel.dates import format_date

        language, _, _ = self._locale.partition("_")
        figures = format_date(day, "medium", locale=self._locale)
        clear = figures.startswith(str(day.year)) or "." in figures
        if language == self.language:
            form = format_date(day, "long", locale=self._locale)
        elif clear and not any(c.isalpha() for c in figures):
            form = figures
        else:
            form = format_date(day, "long", locale="en_GB" if self.language == "en" else self.language)
        return self.ink("shop.locale", form if self.ink.draws(form) else day.isoformat())

    def share(self, share: Decimal) -> str:
        """A share in per cent, with every decimal it has."""
        from babel.numbers import format_percent

        return self.ink("shop.locale", format_percent(share, locale=self._locale, decimal_quantization=False))

    def about_share(self, share: float) -> str:
        """A share in whole per cents; what is above nothing never reads as nothing."""
        rounded = Decimal(share).quantize(Decimal("0.01"))
        return self.share(rounded) if rounded or share <= 0 else f"< {self.share(Decimal('0.01'))}"

    def size(self, side_m: float) -> str:
        """A side of the piece: in metric units to the whole millimetre, as one measures furniture."""
        return self.measure(round(side_m, 3) if self._units == "metric" else side_m, "length")

    def measure(self, value: float, dimension: str) -> str:
        """A measure in the units of the shop, never broken over two lines."""
        return shown(value, dimension, self._units).replace(" ", "\u00a0")


def filled(words: str, slots: Mapping[str, str]) -> str:
    """Words with `{slot}` replaced. Unlike str.format it cannot fail on braces a maker wrote."""
    for slot, value in slots.items():
        words = words.replace("{" + slot + "}", value)
    return words


def said_path(path: str) -> str:
    """A dotted path as words: "hardwood.leg.waste" becomes "hardwood leg: waste"."""
    if path.startswith("prices."):
        return path.partition(".")[2]
    place, _, field = path.rpartition(".")
    return f"{place.replace('.', ' ')}: {field}".replace("_", " ").strip(": ")
