"""Words and rows of trades: every trade has its own, and one from outside takes part in all that is read of them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from dataclasses import replace
from pathlib import Path
from textwrap import dedent

import pytest

import quoting
from quoting.declaration import TEXTS
from quoting.job.job import Job, Piece
from quoting.job.load import load_shop
from quoting.job.standards import dimension_at
from quoting.job.starters import (
    said_by_all,
    sections,
    shipped,
    starter_text,
    starter_values,
    wording,
    words_of,
)
from quoting.job.text import asked, listed, lists
from quoting.pricing.compare import Row, figure_words
from quoting.runs.convert import shop_offers
from quoting.trades.registry import facts, trades

TABLES = {
    "page",
    "questions",
    "headings",
    "titles",
    "columns",
    "fields",
    "also_called",
    "term",
    "caution",
    "safety",
    "label",
}
ROOT = Path(quoting.__file__).parents[1]
SHOP = Path(str(shipped("sample_jobs"))) / "tern_hollow"


@pytest.mark.parametrize("name", trades())
def test_a_trade_says_all_that_is_asked_of_it(name: str) -> None:
    """Its row of the starter job, its page, its questions; and nothing that nobody reads."""
    said = words_of(name)
    assert set(said) <= TABLES
    assert {"page", "questions"} <= set(said)
    assert set(said["questions"]) == {name}
    assert f"[[{name}]]" in trades()[name].text("job.toml")


@pytest.mark.parametrize("name", trades())
def test_a_trade_speaks_for_itself_alone(name: str) -> None:
    """What other people call a trade, or a field of it, stands in its own folder."""
    for row in words_of(name).get("also_called", ()):
        assert set(row["where"]) <= {"job", name}
        assert "job" not in row["where"] or row["means"] == name
    own = trades()[name].text("standard.toml")
    assert own.count("[standard.") == own.count("applies_to = ") == own.count(f'"{name}"]')


@pytest.mark.parametrize("name", [name for name in trades() if "fields" in words_of(name)])
def test_a_trade_explains_fields_that_it_has(name: str) -> None:
    """A field that is renamed takes its sentence along."""
    own = (name, *(one.name for one in trades()[name].sections))
    there = {
        field.name
        for file in ("job.toml", "shop.toml")
        for section in sections(file).values()
        if section.name.partition(".")[0] in own
        for field in section.fields
    }
    assert set(words_of(name)["fields"]) <= there


def test_no_term_stands_twice() -> None:
    terms = [term["term"] for name in trades() for term in words_of(name).get("term", ())]
    assert len(terms) == len(set(terms)) > 0


def test_every_list_that_is_named_is_offered() -> None:
    """Outside such a list no answer is taken: one that nobody fills would refuse every answer."""
    offered = shop_offers(SHOP)
    assert set(lists()) == set(offered)
    assert all(offered.values())


def test_sections_that_nobody_is_asked_about_take_their_names_from_parts() -> None:
    """Boards are of a species, sheets and bars are items of the price file."""
    assert "board" not in asked()
    assert [listed("board", "species"), listed("sheet_size", "item"), listed("board", "count")] == [
        "species",
        "prices",
        "",
    ]
    assert listed("glass", "supplier") == ""


def test_texts_of_the_quote_are_the_shipped_ones() -> None:
    """They are frozen into quotes: what stands in the template is shared, and texts of one trade stand behind it."""
    template = tomllib.loads(shipped("templates").joinpath("wording.toml").read_text(encoding="utf-8"))
    found = wording(SHOP / "nowhere", [])
    own = {
        (section, name)
        for table, section in TEXTS.items()
        for _, texts in said_by_all(table)
        for name in texts
    }
    assert list(found) == list(template)
    for section, texts in template.items():
        if isinstance(texts, dict):
            assert list(found[section].items())[: len(texts)] == list(texts.items())
            assert {(section, name) for name in found[section]} - {(section, name) for name in texts} <= own
    assert all(name in found[section] for section, name in own)


def test_every_fact_is_compared_in_words_of_its_trade() -> None:
    for name, fact in facts().items():
        assert figure_words(Row(name, "plain", (), None)) == fact.words


def test_dimensions_are_read_from_fields() -> None:
    """Times of a part's own, and the thickness that trial strips are fitted to."""
    brief = load_shop(SHOP)
    laminate = trades()["laminate"].named("record:Laminate")
    one = laminate(
        part="panel", id="panel", length=1.0, width=1.0, thickness=0.01, ply=("a",), ply_mass=0.3, fibre="flax", resin="r",
        standard={"mixing": None},
    )  # fmt: skip
    brief = replace(brief, job=Job(format=1, piece=Piece(title="a"), parts={"laminate": (one,)}))
    assert dimension_at(brief, "laminate.panel.trial") == "length"
    assert dimension_at(brief, "laminate.panel.standard.mixing") == "time"
    assert dimension_at(brief, "laminate.panel.part") == ""


OUTSIDE = {
    "cords/__init__.py": """
        from quoting.declaration import Section, Trade

        TRADE = Trade(
            name="cord", home=__name__, record="record:Cord", alike="each", cautions=("cord",),
            stored=(("Cord", "record:Cord"), ("Kind", "record:Kind"), ("Weaving", "record:Weaving")),
            sections=(Section("cord", "record:Kind", family=True, needed=False), Section("weaving", "record:Weaving")),
        )
    """,
    "cords/record.py": """
        from dataclasses import dataclass
        from quoting.reading.fields import Area, Share
        from quoting.reading.fields import Part

        @dataclass(frozen=True, slots=True, kw_only=True)
        class Cord(Part):
            area: Area

        @dataclass(frozen=True, slots=True, kw_only=True)
        class Kind:
            waste: Share

        @dataclass(frozen=True, slots=True, kw_only=True)
        class Weaving:
            slack: Share
    """,
    "cords/equations.py": """
        from quoting.takeoff.needs import TakeOff

        def take_off(part, shop, tables, pick):
            return TakeOff()
    """,
    "cords/job.toml": """
        #[[cord]]                       # a woven seat
        #part = "seat"
        #area = "2 ft2"                 # woven over
        #id = "seat"
        #stage = "bench"
        #standard = { weaving = "4 h" }
    """,
    "cords/shop.toml": """
        [cord.plain]
        waste = "5 %"

        [weaving]
        #slack = "2 %"                  # let into a seat
    """,
    "cords/standard.toml": """
        #[standard.weaving]
        #per = "part"
        #time = "2 .. 3 .. 5 h"
        #applies_to = ["cord"]
    """,
    "cords/words.toml": """
        [page]
        words = "Seats woven of cord."
        job = ["cord"]
        shop = ["cord", "weaving"]

        [questions.cord]
        said = "a woven seat"
        fields = ["part", "area"]

        [caution]
        cord = "Cord under tension: eye protection."
        glass = "not this one"

        [label]
        cord = "woven cord"

        [[also_called]]
        where = ["job"]
        word = "rope"
        means = "cord"

        [[term]]
        term = "warp"
        means = "The cords that are strung first."
    """,
    "cords-0.1.dist-info/METADATA": "Metadata-Version: 2.1\nName: cords\nVersion: 0.1\n",
    "cords-0.1.dist-info/entry_points.txt": "[quoting.trades]\ncord = cords:TRADE\n",
}
"""A trade that an installed package brings: what is read of its folder; its equations take nothing."""

TOLD = """
    import json
    from pathlib import Path
    from quoting.job.starters import sections, starter_text, starter_values, with_defaults
    from quoting.job.job import Job, Piece
    from quoting.job.text import asked, questions
    from quoting.job.validate import also_called
    from quoting.job.starters import wording
    from datetime import date
    from quoting.runs.explain import explain, topics
    day = date(2027, 3, 1)

    without = Job(format=1, piece=Piece(title="a"))
    having = Job(format=1, piece=Piece(title="a"), parts={"cord": ()})
    words = wording(Path("nowhere"), [])
    print(json.dumps({
        "job": list(sections("job.toml")), "counts": [starter_values({}, without), starter_values({}, having)],
        "weaving": with_defaults({})["weaving"], "example": with_defaults({})["cord"],
        "questions": [one.field for one in questions("cord")],
        "rope": also_called("job", "rope"), "caution": words["caution"]["cord"], "glass": words["caution"]["glass"],
        "label": words["quote"]["cord"], "page": explain("cord", day).job[0][0], "term": explain("warp", day)[0].page,
        "pages": [name for name, _ in topics()[0]], "without": starter_text("shop.toml", frozenset({"cord"})),
    }))
"""


def test_a_trade_from_outside_is_read_as_those_of_the_house(tmp_path: Path) -> None:
    """Its rows stand behind those of the house, its values are in force, its words are found; a job without it does not know of it."""
    for name, text in OUTSIDE.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(dedent(text).lstrip("\n"), "utf-8")
    done = subprocess.run(
        [sys.executable, "-c", dedent(TOLD)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join((str(tmp_path), str(ROOT)))},
        capture_output=True,
        encoding="utf-8",
    )
    assert done.stderr == ""
    told = json.loads(done.stdout)
    of_house = [told["job"].index(name) for name in trades() if name in told["job"]]
    assert max(of_house) + 1 == told["job"].index("cord") == told["job"].index("option") - 1
    counts = told["counts"]
    assert counts[0] == starter_values({}, Job(format=1, piece=Piece(title="a")))
    assert counts[1] == counts[0] | {"weaving": 1, "standard": counts[0]["standard"] + 3}
    assert (told["weaving"], told["example"]) == ({"slack": "2 %"}, {})
    assert told["questions"] == ["part", "area"]
    assert (told["rope"], told["term"], told["page"]) == ("cord", "cord", "[[cord]]")
    assert (told["caution"], told["label"]) == ("Cord under tension: eye protection.", "woven cord")
    assert told["glass"] == wording(SHOP / "nowhere", [])["caution"]["glass"]
    assert told["pages"].index("cord") == told["pages"].index("setback") + 1
    assert told["without"] == starter_text("shop.toml")
