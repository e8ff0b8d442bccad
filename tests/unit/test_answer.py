"""A job is priced as far as it can be, with every problem beside it; nothing is raised for a maker's mistake."""

from __future__ import annotations

import json
import shutil
import tomllib
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from quoting.errors import Problem
from quoting.job.starters import shipped
from quoting.runs.answer import Answer, answer, options_of

if TYPE_CHECKING:
    from collections.abc import Callable

DAY = date(2027, 3, 1)
HEAD = 'format = 1\n\n[piece]\ntitle = "Low bench"\n'
PADS = '\n[[buy]]\nitem = "felt pads"\nquantity = 4\n'
SEAT = '\n[[hardwood]]\npart = "seat"\nspecies = "red oak"\nlength = "40 in"\nwidth = "7 in"\nthickness = "3/4 in"\n'
WALNUT = '\n[[option]]\nname = "in walnut"\nset = { "hardwood.seat.species" = "walnut" }\n'


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    for name in ("shop.toml", "prices.csv"):
        text = shipped("templates").joinpath(name).read_text(encoding="utf-8")
        (tmp_path / name).write_text(text, "utf-8")
    (tmp_path / "jobs").mkdir()
    return tmp_path


@pytest.fixture
def of(shop: Path) -> Callable[[str], Answer]:
    """The answer to the text of a job."""
    return lambda text: answer(text, shop, (), DAY)


def told(problems: tuple[Problem, ...]) -> list[tuple[str, tuple[str | int, ...], int]]:
    return [(one.code, one.path, one.line) for one in problems]


def total(found: Answer) -> Any:
    assert found.priced is not None
    return found.priced.chain.total


def test_a_sound_job_has_its_price_and_no_problem(of: Callable[[str], Answer]) -> None:
    found = of(HEAD + SEAT + PADS)
    assert found.whole
    assert (found.problems, found.left_out) == ((), ())
    assert total(found) > 0


def test_text_tables_and_file_have_one_price(shop: Path, of: Callable[[str], Answer]) -> None:
    text = HEAD + SEAT + PADS + WALNUT
    path = shop / "jobs" / "bench.toml"
    path.write_text(text, "utf-8")
    of_path = answer(path, None, (), DAY)
    of_tables = answer(tomllib.loads(text), shop, (), DAY)
    of_name = answer(str(path), None, (), DAY)
    assert total(of(text)) == total(of_path) == total(of_tables) == total(of_name)
    prices = [
        [one.priced and one.priced.chain.total for one in options_of(each)] for each in (of(text), of_tables)
    ]
    assert prices[0] == prices[1] != [None]


def test_a_text_has_true_lines_and_tables_have_none(shop: Path, of: Callable[[str], Answer]) -> None:
    text = HEAD + PADS + "mass = 3\n"
    assert [(one.file, one.line) for one in of(text).problems] == [("job", 9)]
    tables = answer(tomllib.loads(text), shop, (), DAY)
    assert [(one.file, one.line, one.path) for one in tables.problems] == [("job", 0, ("buy", 0, "mass"))]


def test_tables_that_are_given_are_left_as_they_are(shop: Path) -> None:
    tables = tomllib.loads(HEAD + SEAT + WALNUT)
    before = json.dumps(tables)
    options_of(answer(tables, shop, ("hardwood.seat.width=6 in",), DAY))
    assert json.dumps(tables) == before


@pytest.mark.parametrize("given", [{1: 2}, {"piece": None}, {"piece": object()}, {"hardwood": 3}, {}])
def test_tables_that_no_file_could_hold_are_told(given: Any, shop: Path) -> None:
    found = answer(given, shop, (), DAY)
    assert found.priced is None
    assert found.problems


def test_a_job_that_is_no_file_needs_a_shop() -> None:
    found = answer(HEAD + PADS, None, (), DAY)
    assert [one.code for one in found.problems] == ["no_shop"]


def test_a_part_that_is_wrong_is_left_out_and_the_others_are_priced(of: Callable[[str], Answer]) -> None:
    """The price is that of the job without the part, and the record says so."""
    found = of(HEAD + PADS + SEAT.replace('"40 in"', "40"))
    assert told(found.problems) == [("not_text", ("hardwood", 0, "length"), 13)]
    assert found.left_out == ("hardwood.seat",)
    assert not found.whole
    assert total(found) == total(of(HEAD + PADS))


@pytest.mark.parametrize(
    ("part", "code", "field"),
    [
        (SEAT.replace("red oak", "ironwood"), "unknown_name", "species"),
        (SEAT.replace('"3/4 in"', '"0 in"'), "zero", "thickness"),
        ('\n[[buy]]\nitem = "gold leaf"\nid = "seat"\nquantity = 1\n', "no_price", "item"),
    ],
)
def test_a_part_that_cannot_be_reckoned_is_left_out(
    part: str, code: str, field: str, of: Callable[[str], Answer]
) -> None:
    found = of(HEAD + PADS + part)
    assert [(one.code, one.path[-1]) for one in found.problems] == [(code, field)]
    assert [name.partition(".")[2] for name in found.left_out] == ["seat"]
    assert total(found) == total(of(HEAD + PADS))


def test_all_faults_of_a_part_are_told_in_one_pass(of: Callable[[str], Answer]) -> None:
    """A field that cannot be read leaves the rules of the others to be judged."""
    found = of(
        HEAD + SEAT.replace("red oak", "ironwood").replace('"7 in"', "7").replace('"3/4 in"', '"0 in"')
    )
    assert {(one.code, one.path[-1]) for one in found.problems} == {
        ("not_text", "width"),
        ("zero", "thickness"),
    }
    found = of(HEAD + SEAT.replace("red oak", "ironwood").replace('"7 in"', "7"))
    assert {(one.code, one.path[-1]) for one in found.problems} == {
        ("not_text", "width"),
        ("unknown_name", "species"),
    }


def test_faults_of_head_parts_shop_and_prices_are_told_in_one_pass(shop: Path) -> None:
    text = (shop / "shop.toml").read_text("utf-8")
    text = text.replace('margin = "25 %"', "margin = 25", 1).replace("#round_to = ", "round_to = 0 #", 1)
    (shop / "shop.toml").write_text(text, "utf-8")
    with (shop / "prices.csv").open("a", encoding="utf-8") as book:
        book.write("oil,litter,42,,,,,\n")
    found = answer(HEAD + "[client]\nname = 4\n" + SEAT.replace("red oak", "ironwood"), shop, (), DAY)
    assert {(one.file, one.code) for one in found.problems} == {
        ("job", "not_text"),
        ("job", "unknown_name"),
        ("shop.toml", "not_text"),
        ("shop.toml", "zero"),
        ("prices.csv", "unit"),
    }
    assert found.priced is None


def test_a_field_that_cannot_be_read_brings_no_other_fault(of: Callable[[str], Answer]) -> None:
    """What rests on it is not judged: a coat whose area is no text lacks neither area nor sides."""
    coat = '\n[[coating]]\npart = "top"\narea = 3\nthickness = "1 mm"\nresin = "casting resin"\n'
    assert told(of(HEAD + coat).problems) == [("not_text", ("coating", 0, "area"), 8)]


def test_a_broken_price_row_leaves_out_only_what_needs_it(shop: Path, of: Callable[[str], Answer]) -> None:
    book = (shop / "prices.csv").read_text("utf-8")
    row = next(line for line in book.splitlines() if line.startswith("felt pads,"))
    broken = row.split(",")
    broken[2] = "cheap"
    (shop / "prices.csv").write_text(book.replace(row, ",".join(broken)), "utf-8")
    found = of(HEAD + SEAT + PADS)
    position = [one for one in book.splitlines()[2:] if one.strip(" ,") and not one.startswith("#")].index(
        row
    )
    assert [(one.file, one.path) for one in found.problems] == [("prices.csv", (position, "price"))]
    assert found.left_out == ("buy.felt-pads",)
    assert total(found) == total(of(HEAD + SEAT))


def test_a_missing_picture_leaves_the_price(of: Callable[[str], Answer]) -> None:
    found = of(HEAD.replace('bench"', 'bench"\npicture = "bench.jpg"') + PADS)
    assert told(found.problems) == [("file_missing", ("piece", "picture"), 5)]
    assert total(found) == total(of(HEAD + PADS))


def test_an_option_that_is_broken_leaves_the_piece(of: Callable[[str], Answer]) -> None:
    """Each option is judged and priced for itself, and its faults stand in its own lines."""
    wrong = (
        '\n[[option]]\nname = "with a shelf"\n'
        'add = [\n  { trade = "buy", item = "felt pads", id = "more", quantity = 2 },\n'
        '  { trade = "hardwood", part = "shelf", species = "red oak", length = 3, width = "6 in", thickness = "3/4 in" },\n]\n'
    )
    found = of(HEAD + SEAT + WALNUT + wrong)
    assert found.whole
    walnut, shelf = options_of(found)
    assert walnut.priced is not None
    assert walnut.priced.chain.total != total(found)
    assert walnut.problems == ()
    assert told(shelf.problems) == [("not_text", ("option", 1, "add", 1, "length"), 21)]
    assert shelf.left_out == ("hardwood.shelf",)


def test_a_value_that_an_option_sets_is_told_where_it_is_set(of: Callable[[str], Answer]) -> None:
    text = HEAD + SEAT + WALNUT.replace('= "walnut', '= "ironwood')
    (walnut,) = options_of(of(text))
    assert told(walnut.problems) == [("unknown_name", ("option", 0, "set", "hardwood.seat.species"), 15)]


def test_an_option_that_cannot_be_read_leaves_the_piece_and_the_others(of: Callable[[str], Answer]) -> None:
    found = of(HEAD + SEAT + "\n[[option]]\nname = 3\n" + WALNUT)
    assert told(found.problems) == [("not_text", ("option", 0, "name"), 14)]
    assert total(found) == total(of(HEAD + SEAT))
    assert [(one.name, one.problems) for one in options_of(found)] == [("in walnut", ())]


def test_parts_of_a_variant_are_told_at_their_own_places(of: Callable[[str], Answer]) -> None:
    """Dropping a part moves the others up in the variant, not in the file."""
    text = HEAD + SEAT + SEAT.replace('"seat"', '"rail"').replace("red oak", "ironwood")
    text += '\n[[option]]\nname = "bare"\ndrop = ["hardwood.seat"]\n'
    found = of(text)
    assert told(found.problems) == [("unknown_name", ("hardwood", 1, "species"), 15)]
    assert [one.problems for one in options_of(found)] == [()]  # the very fault of the piece


@pytest.mark.parametrize("name", ["shop.toml", "prices.csv", "jobs/bench.toml"])
@pytest.mark.parametrize("content", [None, b"", b"\xff\xfe", b"a = = b\n", b"# format = 1\nitem;unit\n"])
def test_files_that_are_missing_or_no_such_files_are_told(
    name: str, content: bytes | None, shop: Path
) -> None:
    (shop / "jobs" / "bench.toml").write_text(HEAD + SEAT + PADS, "utf-8")
    if content is None:
        (shop / name).unlink()
    else:
        (shop / name).write_bytes(content)
    found = answer(shop / "jobs" / "bench.toml", None, (), DAY)
    assert found.problems
    assert all(one.code in CODES for one in found.problems)
    assert (found.priced is None) or name == "prices.csv"


def test_amounts_beyond_all_money_are_told(of: Callable[[str], Answer]) -> None:
    found = of(HEAD + PADS.replace("quantity = 4", "quantity = 1e300"))
    assert [one.code for one in found.problems] == ["too_large"]


CODES = {
    line.split(",")[0]
    for line in Path(__file__)
    .parents[2]
    .joinpath("quoting/reference/problems.csv")
    .read_text("utf-8")
    .splitlines()
}


def test_every_bad_file_is_answered(shop: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever is wrong: no exception, a problem with a known kind and plain values, and a path that leads into its file."""
    bad = Path(__file__).parents[1] / "bad_files" / "files"
    for path in sorted(bad.glob("*.job.toml")):
        target = shop / "jobs" / path.name
        shutil.copy(path, target)
        found = answer(target, None, (), DAY)
        options = options_of(found)
        problems = [*found.problems, *(one for option in options for one in option.problems)]
        assert problems, path.name
        for one in problems:
            assert one.code in CODES, path.name
            json.dumps(dict(one.values), allow_nan=False)
            assert one.path or one.code in ("not_toml", "not_utf8"), (path.name, one)
