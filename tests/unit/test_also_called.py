"""Names that other people use: each is offered where what it means may stand, and only there."""

from __future__ import annotations

import csv
from importlib.resources import files

import pytest

from quoting.job.form import keys_at
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.starters import said_by_all
from quoting.job.validate import JOB, nearest_key
from quoting.trades.registry import trades

ROWS = [
    (where, row["word"], row["means"])
    for row in csv.DictReader(
        files("quoting").joinpath("reference", "also_called.csv").read_text(encoding="utf-8").splitlines()
    )
    for where in row["where"].split()
] + [
    (where, row["word"], row["means"])
    for _, rows in said_by_all("also_called")
    for row in rows
    for where in row["where"]
]


NAMED = ("pay",)
"""Sections of the shop file that are families: a table for each name."""


def known_in(where: str) -> list[str]:
    if where == JOB:
        return keys_at(Job, ())
    many = where in trades() or where in ("option", "board", "sheet_size", "bar_length")
    of_job = keys_at(Job, (where, 0) if many else (where,))
    of_shop = [*keys_at(Shop, (where,)), *(keys_at(Shop, (where, "one")) if where in NAMED else ())]
    return [
        *of_job,
        *of_shop,
        *(["sold_hours"] if where == "overhead" else ()),
    ]  # its other rows have free names


@pytest.mark.parametrize("row", ROWS, ids=lambda row: " ".join(row))
def test_what_is_meant_exists_there_and_the_word_does_not(row: tuple[str, str, str]) -> None:
    """A field that is renamed would leave its other names behind; a word that is a field itself is never judged."""
    where, word, means = row
    known = known_in(where)
    assert means in known
    assert word.replace(" ", "_") not in known
    assert nearest_key(where, word, known) == f'write "{means}"'


def test_no_word_means_two_things_in_one_place() -> None:
    assert len({row[:2] for row in ROWS}) == len(ROWS)


def test_what_is_there_is_not_advised_and_other_words_go_by_their_letters() -> None:
    assert (
        nearest_key("hardwood", "Material", known_in("hardwood"), {"species"})
        == 'leave it out: "species" is there'
    )
    assert nearest_key(JOB, "solid_wood", known_in(JOB)) == 'write "hardwood"'
    assert nearest_key("hardwood", "wdth", known_in("hardwood")) == 'write "width"'
    assert nearest_key("hardwood", "colour", ["width", "height"]).startswith("write one of")
