"""quoting explain: every trade, equation and field is there, because it is read from where it is used."""

from __future__ import annotations

import importlib
import pkgutil
import tomllib
from functools import cache

import pytest
from end_to_end.command import quoting_run
from sharing import DAY

import quoting.takeoff
import quoting.trades
from quoting.cli.explain import meanings_text, page_text
from quoting.errors import Problems
from quoting.job.starters import sections
from quoting.reading.tables import reference
from quoting.runs.explain import Page, equations_of, explain, topics
from quoting.trades.registry import trades

PAGES, TERMS = topics()
NAMES = [name for name, _ in PAGES]

# Serve other equations, and are told in their words.
WITHIN = {"whole_up", "whole_down", "mixes", "mixed_words", "first", "picked", "trip_cost", "tape_m"}


@cache
def _page(name: str) -> Page:
    """A page, made once for all checks: each prices its sample."""
    found = explain(name, DAY)
    assert isinstance(found, Page)
    return found


def pages() -> list[Page]:
    return [_page(name) for name in NAMES]


def test_every_trade_has_a_page() -> None:
    assert set(trades()) <= set(NAMES)


def test_every_equation_of_the_take_off_stands_on_a_page() -> None:
    """A new module of equations without a page fails here."""
    shown = {words for page in pages() for _, words in page.equations}
    packages = (quoting.takeoff, quoting.trades)
    modules = [
        one for there in packages for one in pkgutil.walk_packages(there.__path__, f"{there.__name__}.")
    ]
    for module in modules:
        for one in equations_of(module.name):
            words = importlib.import_module("inspect").getdoc(one)
            assert words in shown, f"{module.name}.{one.__name__}"


@pytest.mark.parametrize("file", ["job.toml", "shop.toml"])
def test_every_section_of_the_starter_files_stands_on_a_page(file: str) -> None:
    """So does every field of it, with its comment."""
    said = {
        (name.strip("[]"), field)
        for page in pages()
        for name, fields in (page.job if file == "job.toml" else page.shop)
        for field in fields
    }
    for section in sections(file).values():
        for field in section.fields:
            assert (section.name, field) in said, f"{section.name}.{field.name}"


def test_pages_have_equations_where_they_name_modules() -> None:
    """A function that was renamed would leave its page silently."""
    for name in NAMES:
        page = _page(name)
        text = page_text(page)
        assert page.words in " ".join(text.split())
        assert all(words.strip() for _, words in page.equations)
    assert {"goods price", "chain", "left for cost", "list price"} <= {
        name for name, _ in _page("price").equations
    }
    assert {"machine rate"} <= {name for name, _ in _page("machine").equations}
    assert {"used share"} <= {name for name, _ in _page("cut").equations}
    assert {"draws"} <= {name for name, _ in _page("risk").equations}


@pytest.mark.parametrize("name", NAMES)
def test_every_page_shows_its_figures_on_a_sample(name: str) -> None:
    """The blocks it names exist in the sample, and say how they were reached."""
    example = _page(name).example
    assert example is not None
    priced = example.priced
    bases = [line.basis for line in priced.lines if line.trade in example.blocks]
    assert bases or name in ("lifting", "price", "risk")
    text = page_text(_page(name)).replace("\u00a0", " ")
    shown = text[text.index("On a sample") :]
    assert example.file in shown
    for words in (*bases[:1], *(one.words for one in priced.warnings if one.code in example.blocks)):
        assert "".join(words.split())[:60] in "".join(shown.split())
    assert not set(example.blocks) - set(priced.groups) - {"chain", "unsure", "lifting"}


@pytest.mark.parametrize("term", TERMS)
def test_every_term_has_a_meaning_and_a_page(term: str) -> None:
    found = explain(term, DAY)
    if not isinstance(found, Page):
        assert found[0].term == term
        assert found[0].page in NAMES
        assert found[0].words.endswith(".")
        assert term in meanings_text(found)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("timber.waste", '[timber] of shop.toml: bought on top of what is needed'),
        ("glued up", "from staves of the shop's usual width"),
        ("GLUED_UP", "from staves of the shop's usual width"),
        ("waste", "What is bought on top"),
        ("bord foot", ""),
        ("bd ft", "2.36 L"),  # 144 in3 x 16.387064 mL exactly (the inch of 1959 is 25.4 mm)
        ("gsm", "1 g/m2"),
    ],
)  # fmt: skip
def test_words_fields_and_units(asked: str, words: str) -> None:
    """Also as people write them; what is not known offers the nearest."""
    if not words:
        with pytest.raises(Problems, match="board foot"):
            explain(asked, DAY)
        return
    found = explain(asked, DAY)
    assert not isinstance(found, Page)
    assert words in meanings_text(found).replace("\n  ", " ")


@pytest.mark.parametrize(
    ("word", "where"),
    [
        ("drawer", "[[sheet]]"), ("apron", "[[hardwood]]"), ("rail", "[[hardwood]]"), ("carcase", "[[sheet]]"), ("leg", "[[hardwood]]"),
        ("legs", "[[hardwood]]"), ("top", "[[hardwood]]"), ("shelf", "[[sheet]]"), ("hinge", "[[buy]]"), ("cushion", "[[upholstery]]"),
        ("pane", "[[glass]]"), ("inlay", "[[casting]]"),
    ],
)  # fmt: skip
def test_words_of_furniture_say_where_they_are_written(word: str, where: str) -> None:
    found = explain(word, DAY)
    assert not isinstance(found, Page)
    assert where in found[0].words
    assert 1 <= found[0].words.count(". ") + 1 <= 2  # one or two sentences


@pytest.mark.parametrize("file", ["job.toml", "shop.toml"])
def test_every_field_is_explained(file: str) -> None:
    """By the comment of its line, or by a sentence of its own; whatever has no comment has a whole sentence."""
    bare = []
    for section in sections(file).values():
        for field in section.fields:
            found = explain(f"{section.name}.{field.name}", DAY)
            assert not isinstance(found, Page)
            written = [one for one in found if one.written == f"{field.name} = {field.value}"]
            means = [
                one.words.partition(": ")[2] for one in written
            ]  # a job and the shop may have the same one
            if not all(means) or (not field.words and not any(one.endswith(".") for one in means)):
                bare.append(f"{section.name}.{field.name}")
    assert bare == []


def test_every_sentence_of_a_field_is_of_one() -> None:
    """A field that is renamed takes its sentence along; a table names a section that there is."""
    names = {(one.name.partition(".")[0], field.name) for file in ("job.toml", "shop.toml") for one in sections(file).values() for field in one.fields}  # fmt: skip
    said = tomllib.loads(reference("fields.toml"))
    anywhere = said.pop("anywhere")
    assert set(anywhere) <= {field for _, field in names}
    assert {(section, field) for section, table in said.items() for field in table} <= names


def test_the_command_lists_and_explains() -> None:
    """Alone it lists what can be asked for; a wrong word is told with the nearest one."""
    done = quoting_run("explain")
    assert done.returncode == 0
    assert all(name in done.stdout for name in NAMES)
    assert "board foot" in done.stdout
    done = quoting_run("explain", "laminate")
    assert "How it is computed" in done.stdout
    done = quoting_run("explain", "margn")
    assert done.returncode == 2
    assert 'write "margin"' in done.stderr


def test_pages_of_one_module_have_their_own_equations() -> None:
    """What a delivery costs, and what a person may lift, are reckoned in one file."""
    found = {name: [equation for equation, _ in _page(name).equations] for name in ("delivery", "lifting")}
    assert found == {"delivery": ["trip cost"], "lifting": ["recommended limit"]}
