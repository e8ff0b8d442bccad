"""Names that other people use: each is offered where what it means may stand, and only there."""

from __future__ import annotations

import csv
from dataclasses import fields
from importlib.resources import files

import pytest

from quoting.inputs.also_called import nearest_key
from quoting.inputs.explain import keys_at
from quoting.inputs.job import TRADES, Job

ROWS = list(
    csv.DictReader(
        files("quoting").joinpath("reference", "also_called.csv").read_text(encoding="utf-8").splitlines()
    )
)
PLACES = [
    keys_at(Job, ()),
    *(keys_at(Job, (name.name,)) for name in fields(Job)),
    *(keys_at(Job, (one, 0)) for one in TRADES),
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['word']} means {row['means']}")
def test_what_is_meant_exists_somewhere(row: dict[str, str]) -> None:
    """A field that is renamed would leave its other names behind; a word that is a field itself needs no other there."""
    places = [known for known in PLACES if row["means"] in known]
    assert places
    assert any(row["word"].replace(" ", "_") not in known for known in places)


def test_the_meaning_that_fits_is_offered() -> None:
    assert nearest_key("Name", ["item", "quantity"]) == 'write "item"'
    assert nearest_key("name", ["part", "item"]) == 'write "part"'
    assert nearest_key("solid_wood", ["hardwood", "sheet"]) == 'write "hardwood"'
    assert nearest_key("wdth", ["width", "height"]) == 'write "width"'
    assert nearest_key("colour", ["width", "height"]).startswith("write one of")
