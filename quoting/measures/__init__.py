"""Measures as makers write them, read into plain floats of one canonical unit and shown again.

Which units a dimension takes is a closed table, stricter than physics: to pint "0.3 L/m2" is a
length of 0.3 mm, and "30 mph" would do as a feed. pint checks that each listed unit fits its
dimension and gives its exact factor; no other text reaches pint, whose parser reads "1 1/4 in" as
a quarter inch. `spelling` reads the numbers. A text that cannot be read raises `errors.Reading`; an
unknown dimension or system is a caller's fault and raises KeyError.
"""

from quoting.measures.reading import measure, ratio, rough, section, span, temperature, unit
from quoting.measures.showing import shown
from quoting.measures.units import DIMENSIONS

__all__ = ["DIMENSIONS", "measure", "ratio", "rough", "section", "shown", "span", "temperature", "unit"]
