"""Measures: what makers write is read exactly, or refused with words that say what to write."""

from __future__ import annotations

import math
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from quoting.errors import Reading
from quoting.measures import DIMENSIONS, measure, ratio, rough, section, shown, span, unit

if TYPE_CHECKING:
    from collections.abc import Callable

INCH = 0.0254


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("1 1/4 in", "length", 1.25 * INCH),
        ("1-1/4 in", "length", 1.25 * INCH),
        ('1 1/4"', "length", 1.25 * INCH),
        ("1 1/4\u2033", "length", 1.25 * INCH),
        ("1 1/4\u201d", "length", 1.25 * INCH),
        ("1\u00a01/4\u00a0in", "length", 1.25 * INCH),
        ("1½ in", "length", 1.5 * INCH),
        ("½ in", "length", 0.5 * INCH),
        ("1 3/4 in", "length", 1.75 * INCH),
        ('3/4"', "length", 0.75 * INCH),
        ("1.25in", "length", 1.25 * INCH),
        (".5 in", "length", 0.5 * INCH),
        ("5/4 in", "length", 1.25 * INCH),
        ("5' 6 1/2\"", "length", 66.5 * INCH),
        ("5'-6 1/2\"", "length", 66.5 * INCH),
        ("5\u2032 6\u2033", "length", 66 * INCH),
        ("5\u2019 6\u201d", "length", 66 * INCH),
        ("5 ft 6 in", "length", 66 * INCH),
        ("6'", "length", 72 * INCH),
        ("  32   mm ", "length", 0.032),
        ("711.2 mm", "length", 0.7112),
        ("0 mm", "length", 0.0),
        ("0.9 m", "length", 0.9),
        ("18 bd ft", "volume", 18 * 144 * INCH**3),
        ("2 L", "volume", 0.002),
        ("3 fl. oz.", "volume", 3 * 29.5735295625e-6),
        ("20 ft²", "area", 20 * (12 * INCH) ** 2),
        ("20 sq ft", "area", 20 * (12 * INCH) ** 2),
        ("4 1/2 h", "time", 4.5),
        ("1 h 30 min", "time", 1.5),
        ("10 weeks", "time", 1680),
        ("2 months", "time", 1440),
        ("5 lb 4 oz", "mass", 5.25 * 0.45359237),
        ("180 gsm", "areal_mass", 0.18),
        ("180 g / m²", "areal_mass", 0.18),
        ("0.45 L/m2", "depth_per_area", 0.00045),
        ("12 m2/L", "coverage", 12_000),
        ("1.1 kg/L", "density", 1100),
        ("30 mph", "speed", 48_280.32),
        ("1800 mm/min", "feed", 108),
        ("30 mi", "distance", 48_280.32),
        ("2200 W", "power", 2.2),
        ("35 %", "share", 0.35),
        ("20 %", "number", 0.2),
        ("0.9", "number", 0.9),
        (3, "number", 3),
        (3, "count", 3),
        (12.5, "money", 12.5),
        (Decimal("12.50"), "money", 12.5),
        ("12.50", "money", 12.5),
        ("0.70 /mi", "money_per_length", 0.70 / 1609.344),
        ("0.45 /km", "money_per_length", 0.45 / 1000),
        ("6/m", "money_per_length", 6),
        ("20 /ft2", "money_per_area", 20 / (12 * INCH) ** 2),
        ("0.15 /kWh", "money_per_energy", 0.15),
    ],
)
def test_a_measure_is_read_as_a_maker_writes_it(text: object, dimension: str, value: float) -> None:
    assert measure(text, dimension) == pytest.approx(value, rel=1e-14)


# NIST Special Publication 811 (2008), appendix B; digits from memory.
@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("1 bd ft", "volume", 2.359737e-3),
        ("1 gal", "volume", 3.785412e-3),
        ("1 qt", "volume", 9.463529e-4),
        ("1 fl oz", "volume", 2.957353e-5),
        ("1 ft3", "volume", 2.831685e-2),
        ("1 inHg", "pressure", 3386.389),
        ("1 psi", "pressure", 6894.757),
        ("1 oz/yd2", "areal_mass", 3.390575e-2),
        ("1 lb/ft2", "areal_mass", 4.882428),
        ("1 lb/ft3", "density", 16.01846),
        ("1 lb/gal", "density", 119.8264),
        ("1 lb/ft", "mass_per_length", 1.488164),
        ("1 hp", "power", 0.7456999),
        ("1 mph", "speed", 1609.344),
    ],
)
def test_units_have_their_published_size(text: str, dimension: str, value: float) -> None:
    assert measure(text, dimension) == pytest.approx(value, rel=5e-7)


@pytest.mark.parametrize("name", DIMENSIONS)
def test_every_unit_listed_fits_its_dimension(name: str) -> None:
    for listed in DIMENSIONS[name].units:
        assert measure(f"1 {listed}", name) > 0
        assert measure(f"1 {listed.upper()}", name) == measure(f"1 {listed}", name)


def test_a_litre_on_a_square_metre_is_not_a_length() -> None:
    """The two are one dimension to physics; the closed table keeps them apart."""
    with pytest.raises(Reading, match=r'"0\.3 L/m2" is a volume per area; write a length'):
        measure("0.3 L/m2", "length")
    with pytest.raises(Reading, match='"3 mm" is a length; write a volume per area'):
        measure("3 mm", "depth_per_area")


@pytest.mark.parametrize(
    ("text", "dimension", "said"),
    [
        ("2 kg", "length", '"2 kg" is a mass; write a length such as "32 mm"'),
        ("180 gsm/m", "areal_mass", 'found "180 gsm/m"; write a mass per area such as "180 g/m2"'),
        ("180 gsm/m", "areal_mass", 'the nearest known unit is "gsm"'),
        ("5 inchs", "length", 'the nearest known unit is "inches"'),
        ("32", "length", 'found "32", without a unit; write a length'),
        (32, "length", "found 32; write a length"),
        ("0.35", "share", 'write a share such as "35 %"'),
        (0.35, "share", 'found 0.35; write a share such as "35 %"'),
        ("-3 in", "length", "below zero"),
        ("\u22123 in", "length", "below zero"),
        (-3, "number", "found -3, which is below zero"),
        ("1,25 mm", "length", "write the number without a comma: 1250 or 1.25"),
        ("1,250", "money", "without a comma"),
        ("1 250 mm", "length", "space inside a number"),
        ("1 5/4 in", "length", "5/4 is not below one"),
        ("1/0 in", "length", "divides by zero"),
        ("5' 13\"", "length", "below 12"),
        ("3 m 20 in", "length", "write a length"),
        ("1e400 h", "time", "exponent"),
        ("1_000 mm", "length", "underscore"),
        ("\uff12 in", "length", "plain letter"),
        ("\u0663 mm", "length", "plain letter"),
        ("5² in", "length", "plain letter"),
        ("", "length", "empty"),
        (" \u00a0 ", "length", "empty"),
        ("1" * 59 + " mm", "length", "over 60 characters"),
        ("nan in", "length", 'found "nan in"'),
        ("inf h", "time", 'found "inf h"'),
        (math.nan, "number", "found nan"),
        (math.inf, "money", "found inf"),
        (Decimal("sNaN"), "money", "found sNaN"),
        (10**400, "money", "write an amount"),
        pytest.param(10**5000, "money", "too many digits", id="huge"),
        (True, "number", "found true"),
        (False, "money", "found false"),
        (None, "length", "found nothing"),
        ([1, 2], "length", "found a list"),
        ({}, "length", "found a table"),
        ("$12", "money", "currency sign; write an amount without its currency such as 12.5"),
        ("€0.45 /km", "money_per_length", 'currency sign; write money per length such as "0.70 /mi"'),
        ("12 EUR", "money", "without its currency"),
        ("3 .. 4 h", "time", "where a single value belongs"),
        ("3-4 h", "time", "write a range with two dots"),
        ("3...4 h", "time", "three dots"),
        ("9**9**9 in", "length", "found"),
        ("1 in; 2", "length", "found"),
        ("10 mil", "length", "found"),
        ("5 ply", "length", "found"),
        ("3 t", "mass", "found"),
        ("70 degF", "pressure", "found"),
        ("8/4", "length", "without a unit"),
        ("2:1", "number", "found"),
        ("1 in\n2", "length", 'found "1 in?2"'),
    ],
)
def test_what_cannot_be_read_is_quoted_with_what_to_write(text: object, dimension: str, said: str) -> None:
    with pytest.raises(Reading) as error:
        measure(text, dimension)
    assert said in str(error.value)
    assert error.value.write.startswith("write ")


def test_sixty_characters_are_allowed() -> None:
    assert measure("1" + " " * 57 + "mm", "length") == 0.001


@pytest.mark.parametrize(
    ("text", "dimension", "values"),
    [
        ("3 .. 4 .. 6 h", "time", (3, 4, 6)),
        ("45 min .. 2 h", "time", (0.75, 1.375, 2)),
        ("45 min .. 1 h .. 2 h", "time", (0.75, 1, 2)),
        ("4 h", "time", (4, 4, 4)),
        ("4 .. 4 .. 4 h", "time", (4, 4, 4)),
        ("2.5 .. 4 .. 7 min", "time", (2.5 / 60, 4 / 60, 7 / 60)),
        ("0.3 .. 0.45 .. 0.8 L/m2", "depth_per_area", (0.0003, 0.00045, 0.0008)),
        ("0.3..0.45..0.8 L/m2", "depth_per_area", (0.0003, 0.00045, 0.0008)),
        ("15 .. 20 .. 30 %", "share", (0.15, 0.2, 0.3)),
        ("1/2 .. 3/4 in", "length", (0.5 * INCH, 0.625 * INCH, 0.75 * INCH)),
        ("5' .. 5' 6\"", "length", (60 * INCH, 63 * INCH, 66 * INCH)),
        ("0.9 .. 1 .. 1.3", "number", (0.9, 1, 1.3)),
        ("120 .. 150 .. 200", "money", (120, 150, 200)),
        (1.3, "number", (1.3, 1.3, 1.3)),
    ],
)
def test_a_range_has_low_likely_and_high(text: object, dimension: str, values: tuple[float, ...]) -> None:
    read = span(text, dimension)
    assert (read.low, read.likely, read.high) == pytest.approx(values, rel=1e-14)
    assert read.low <= read.likely <= read.high


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("6 .. 4 .. 3 h", "the low value is above the high one"),
        ("4 h .. 90 min", "the low value is above the high one"),
        ("3 .. 9 .. 6 h", "the likely value is outside"),
        ("3 .. 1 .. 6 h", "the likely value is outside"),
        ("1 .. 2 .. 3 .. 4 h", "a range of 4 values"),
        ("3 h .. 4", "write the unit once"),
        ("3 h .. 4 .. 5 h", "write the unit once"),
        ("3 .. 1 h 30 min", "write the unit once"),
        ("3 .. 4", "without a unit"),
        ("3 .. 4 kg", '"3 .. 4 kg" is a mass'),
        ("3 .. -4 h", "below zero"),
        ("3 .. h", 'found "3 .. h"'),
        (".. 4 h", 'found ".. 4 h"'),
        (4, "found 4"),
    ],
)
def test_a_range_out_of_order_or_without_units_is_refused(text: object, said: str) -> None:
    with pytest.raises(Reading) as error:
        span(text, "time")
    assert said in str(error.value)


def test_rough_thickness_is_in_quarters_or_a_length() -> None:
    assert rough("8/4") == 2 * INCH
    assert rough("5/4") == 1.25 * INCH
    assert rough("52 mm") == 0.052
    for text in ("8/3", "0/4", "2", 2, "8:4"):
        with pytest.raises(Reading, match='write a rough thickness such as "8/4" or "52 mm"'):
            rough(text)


def test_a_ratio_is_two_numbers_above_zero() -> None:
    assert ratio("2:1") == (2, 1)
    assert ratio("100 : 47.5") == (100, 47.5)
    for text in ("2", "2:1:1", "0:1", "1:0", "2:-1", "2/1", 2, None):
        with pytest.raises(Reading, match="write a ratio"):
            ratio(text)


@pytest.mark.parametrize(
    ("text", "area_mm2"),
    [
        ("6 x 40 mm", 240),
        ("6 \u00d7 40 mm", 240),
        ("6x40mm", 240),
        ("6 x 40 mm flat", 240),
        ("1/4 x 3 in", 0.75 * 25.4**2),
        ("1/4 in x 3 in", 0.75 * 25.4**2),
        ("25 mm round", math.pi * 12.5**2),
        ("30 x 30 x 2 mm tube", 30**2 - 26**2),
        ("50 x 30 x 2 mm tube", 50 * 30 - 46 * 26),
        ("25 x 2 mm round tube", math.pi * (12.5**2 - 10.5**2)),
        ("40 x 40 x 4 mm angle", 40**2 - 36**2),
        ("60 x 40 x 4 mm angle", 60 * 40 - 56 * 36),
    ],
)
def test_a_section_has_the_area_of_its_shape(text: str, area_mm2: float) -> None:
    assert section(text).area_m2 == pytest.approx(area_mm2 / 1e6, rel=1e-12)


def test_a_section_keeps_the_words_of_the_maker() -> None:
    assert section(" 30 x  30 x 2 mm tube").words == "30 x 30 x 2 mm tube"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("25 mm", "sizes of a flat number 2, not 1"),
        ("6 x 40 mm round", "sizes of a round number 1, not 2"),
        ("0 x 40 mm", "a size is zero"),
        ("30 x 30 x 15 mm tube", "wall fills"),
        ("25 x 13 mm round tube", "wall fills"),
        ("40 x 40 x 40 mm angle", "wall fills"),
        ("6 x 40 kg", "is a mass"),
        ("6 x 40", "without a unit"),
        ("25 mm hexagon", "write a section"),
        ("tube", "write a section"),
        (25, "found 25"),
    ],
)
def test_a_section_that_cannot_be_is_refused(text: object, said: str) -> None:
    with pytest.raises(Reading) as error:
        section(text)
    assert said in str(error.value)


@pytest.mark.parametrize(
    ("text", "name", "dimension", "factor"),
    [
        ("bd ft", "bd ft", "volume", 144 * INCH**3),
        ("board feet", "bd ft", "volume", 144 * INCH**3),
        ("m3", "m3", "volume", 1),
        ("m³", "m3", "volume", 1),
        ("L", "L", "volume", 0.001),
        ("m2", "m2", "area", 1),
        ("ft", "ft", "length", 12 * INCH),
        ("lb", "lb", "mass", 0.45359237),
        ("g", "g", "mass", 0.001),
        ("h", "h", "time", 1),
        ("sheet", "sheet", "count", 1),
        ("Sheets", "sheet", "count", 1),
        ("pack", "pack", "count", 1),
        ("panel", "panel", "count", 1),
    ],
)
def test_a_unit_of_the_price_file_has_a_size(text: str, name: str, dimension: str, factor: float) -> None:
    read = unit(text)
    assert (read.name, read.dimension) == (name, dimension)
    assert read.factor == pytest.approx(factor, rel=1e-14)


@pytest.mark.parametrize("text", ["", "cord", "%", "/mi", "kWh", "2 L", "dozen"])
def test_an_unknown_unit_of_the_price_file_is_refused(text: str) -> None:
    with pytest.raises(Reading, match='write a unit such as "bd ft"'):
        unit(text)


@pytest.mark.parametrize(
    ("value", "dimension", "metric", "inch"),
    [
        (0.7112, "length", "711.2 mm", "28 in"),
        (2.25 * INCH, "length", "57.15 mm", "2 1/4 in"),
        (INCH / 8, "length", "3.175 mm", "1/8 in"),
        (INCH / 33, "length", "0.7697 mm", "0.0303 in"),
        (-2.25 * INCH, "length", "-57.15 mm", "-2 1/4 in"),
        (0.1, "length", "100 mm", "3.937 in"),
        (12.5, "length", "12.5 m", "492.126 in"),
        (0.0, "length", "0 mm", "0 in"),
        (1.5, "area", "1.5 m2", "16.146 ft2"),
        (0.0024, "volume", "2.4 L", "2.4 L"),
        (1.2, "volume", "1.2 m3", "1.2 m3"),
        (18 * 144 * INCH**3, "timber", "0.04248 m3", "18 bd ft"),
        (25 * 0.45359237, "mass", "11.34 kg", "25 lb"),
        (4.5, "time", "4.5 h", "4.5 h"),
        (37 / 60, "time", "37 min", "37 min"),
        (120, "time", "120 h", "120 h"),
        (0.2, "share", "20 %", "20 %"),
        (0.029, "share", "2.9 %", "2.9 %"),
        (0.18, "areal_mass", "180 g/m2", "180 g/m2"),
        (0.00045, "depth_per_area", "0.45 L/m2", "0.45 L/m2"),
        (25 * 3386.389, "pressure", "84.66 kPa", "25 inHg"),
        (48_280.32, "distance", "48.28 km", "30 mi"),
        (0.70 / 1609.344, "money_per_length", "0.435 /km", "0.7 /mi"),
        (6, "money_per_length", "6 /m", "1.829 /ft"),
        (1.3, "number", "1.3", "1.3"),
        (1234567, "number", "1234570", "1234570"),
        (4, "count", "4", "4"),
        (1234567.25, "money", "1234567.25", "1234567.25"),
        (np.float64(0.7112), "length", "711.2 mm", "28 in"),
        (np.float32(4.5), "time", "4.5 h", "4.5 h"),
        (np.int64(3), "number", "3", "3"),
        (math.inf, "length", "inf m", "inf in"),
    ],
)
def test_a_value_is_shown_in_the_shops_units(value: float, dimension: str, metric: str, inch: str) -> None:
    assert shown(value, dimension) == metric
    assert shown(value, dimension, "inch") == inch


@given(st.integers(0, 200), st.integers(0, 31), st.sampled_from(["in", '"', "inches"]))
def test_a_fraction_of_an_inch_comes_back_as_it_was_written(whole: int, parts: int, word: str) -> None:
    fraction = Fraction(parts, 32)
    text = " ".join(str(part) for part in (whole, fraction) if part) or "0"
    value = measure(f"{text} {word}", "length")
    assert value == float((whole + fraction) * Fraction(254, 10_000))
    assert shown(value, "length", "inch") == f"{text} in"


@given(
    value=st.floats(1e-6, 1e6),
    dimension=st.sampled_from(sorted(DIMENSIONS)),
    system=st.sampled_from(["metric", "inch"]),
)
@example(value=10.0, dimension="length", system="metric")
def test_what_is_shown_reads_back_to_four_digits(value: float, dimension: str, system: str) -> None:
    text = shown(value, dimension, system)
    assert measure(text, dimension) == pytest.approx(value, rel=5.001e-4)


@given(text=st.text(), dimension=st.sampled_from(sorted(DIMENSIONS)))
@example(text="1" * 60, dimension="money")
@example(text="\ud800 in", dimension="length")
@example(text="⅟2 in", dimension="length")
@example(text="x", dimension="length")
def test_no_text_raises_anything_but_a_reading(text: str, dimension: str) -> None:
    held_to_a_reading(partial(measure, text, dimension))
    held_to_a_reading(partial(span, text, dimension))


@given(st.text(alphabet="0123456789 ./-x:'\"%infthLmrouduebg", max_size=25))
def test_no_text_near_a_measure_raises_anything_but_a_reading(text: str) -> None:
    for read in (rough, ratio, section, unit):
        held_to_a_reading(partial(read, text))
    held_to_a_reading(partial(span, text, "length"))


def held_to_a_reading(read: Callable[[], object]) -> None:
    """Call `read`; a Reading must quote something and advise something, and fit on one line."""
    refused = None
    try:
        read()
    except Reading as error:
        refused = error
    if refused is not None:
        assert refused.found
        assert refused.write.startswith("write ")
        assert str(refused).isprintable()


def test_pint_is_loaded_only_when_a_unit_is_first_used() -> None:
    code = "import sys, quoting.measures as m; assert 'pint' not in sys.modules; m.measure('1 in', 'length')"
    subprocess.run([sys.executable, "-W", "error", "-c", code], check=True)
