"""Finding the line of a value in a TOML file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.reading.lines import line_of

if TYPE_CHECKING:
    from collections.abc import Sequence

TEXT = '''\
# a job
format = 1

[piece]
title = "Low bench"   # its name
words = """
two
lines"""
height = "18 in"

[client]

[[hardwood]]
part = "seat"
length = "40 in"
standard.milling = "2 h"

# the legs
[[hardwood]]
part = "leg"
standard = { milling = "none",
  sanding = "1 h" }

[[laminate]]
part = "panel"
trial = [
  { plies = 6, thickness = "3.4 mm" },
  { plies = 10, thickness = "5.5 mm" },
]
[[laminate.flatten]]
removes = "1 mm"
hours = "1 h"
[[laminate.flatten]]
removes = "2 mm"

[resin."casting resin"]
density = "1.1 kg/L"
payments = [ { name = "A", share = "50 %" }, { name = "B" } ]

[cause.grain]
factor = 1
'''


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (["format"], "format = 1"),
        (["piece", "title"], 'title = "Low bench"'),
        (["piece", "height"], 'height = "18 in"'),
        (["piece"], "[piece]"),
        (["hardwood", 0, "length"], 'length = "40 in"'),
        (["hardwood", 0, "standard", "milling"], "standard.milling"),
        (["hardwood", 1, "part"], 'part = "leg"'),
        (["hardwood", 1, "standard", "milling"], "standard = { milling"),
        (["laminate", 0, "flatten", 0, "hours"], 'hours = "1 h"'),
        (["laminate", 0, "flatten", 1, "removes"], 'removes = "2 mm"'),
        (["resin", "casting resin", "density"], 'density = "1.1 kg/L"'),
        (["resin", "casting resin", "payments", 1, "name"], "payments ="),
        (["cause", "grain", "factor"], "factor = 1"),
    ],
)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_a_value_is_found_on_its_line(path: Sequence[str | int], words: str, ends: str) -> None:
    line = line_of(TEXT.replace("\n", ends), path)
    assert TEXT.splitlines()[line - 1].startswith(words)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (["hardwood", 0], "[[hardwood]]"),
        (["hardwood", 0, "width"], "[[hardwood]]"),
        (["hardwood", 0, "waste", "value"], "[[hardwood]]"),
        (["laminate", 0, "flatten", 1, "machine"], "[[laminate.flatten]]"),
        (["resin", "casting resin", "pour_depth"], '[resin."casting resin"]'),
        (["client", "name"], "[client]"),
        (["cause"], "[cause.grain]"),
    ],
)
def test_what_is_missing_is_found_at_the_table_that_lacks_it(path: Sequence[str | int], words: str) -> None:
    assert TEXT.splitlines()[line_of(TEXT, path) - 1] == words


def test_the_second_part_is_not_taken_for_the_first() -> None:
    lines = [line_of(TEXT, ["hardwood", i, "width"]) for i in (0, 1)]
    assert [TEXT.splitlines()[line - 1] for line in lines] == ["[[hardwood]]", "[[hardwood]]"]
    assert lines[0] < lines[1]


def test_a_trial_strip_on_a_line_of_its_own_is_found_there() -> None:
    line = line_of(TEXT, ["laminate", 0, "trial", 1, "thickness"])
    assert TEXT.splitlines()[line - 1].strip().startswith("{ plies = 10")


def test_nothing_found_is_the_first_line() -> None:
    assert line_of(TEXT, ["glass", 0, "price"]) == 1
    assert line_of("", ["format"]) == 1
    assert line_of(TEXT, []) == 1


@given(st.lists(st.integers(0, 4), min_size=1, max_size=8), st.data())
@settings(max_examples=60)
def test_any_part_of_any_job_is_found(gaps: list[int], data: st.DataObject) -> None:
    """Parts between blank lines and comments: each value is told by the line it was written on."""
    lines, written = ["format = 1"], []
    for number, gap in enumerate(gaps):
        lines += ["", "# note"] * gap + ["[[buy]]", f'item = "thing {number}"', f"quantity = {number + 1}"]
        written.append(len(lines))
    position = data.draw(st.integers(0, len(gaps) - 1))
    assert line_of("\n".join(lines) + "\n", ["buy", position, "quantity"]) == written[position]
