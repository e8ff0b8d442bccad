"""A field changed, a part added, moved, copied, taken out in a maker's file: written where it lies, never over an editor's work."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from edit.files import FILES, NAMES, WAYS, changed, paths, shown_fields

from quoting.errors import Problems
from quoting.job.files import SHOP_FILE
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.validate import no_such
from quoting.reading.scan import scan
from quoting.reading.sources import read_toml
from quoting.reading.splice import tables_of, toml_value, within
from quoting.runs.as_shown import Changed
from quoting.runs.edit import add_part, change, copy_part, move_part, remove_part

if TYPE_CHECKING:
    from collections.abc import Callable

    from quoting.reading.scan import At

LEG: At = ("hardwood", 1)
LENGTH: At = (*LEG, "length")

JOB = """\
format = 1 # ours

[piece]
title = "Stool"

[[hardwood]]
part = "seat"
species = "red oak"
length = "15 in" # across
width = "14 in"
thickness = "1 in"
waste = { value = "5 .. 10 .. 15 %", cause = "knots" }

[[hardwood]]
part = "leg"
species = "red oak"
length = "17 in"
width = "2 in"
thickness = "1 in"
quantity = 3

[[board]]
species = "red oak"
stock = "5/4"
length = "8 ft"
width = "6 in"

[cause.knots]
factor = "0.9 .. 1 .. 1.2"
"""


@pytest.fixture
def job(shop: Path) -> Path:
    path = shop / "jobs" / "stool.toml"
    path.write_text(JOB, "utf-8")
    return path


def edited(path: Path, old: str, new: str) -> None:
    """What an editor does meanwhile."""
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


def test_a_value_is_written_as_its_field_takes_it(job: Path) -> None:
    """Text as text, whole numbers bare, yes and no as true and false, lists by semicolons; ranges in words with dots."""
    for where, typed, written in [
        (LENGTH, "1 3/4 in", "1 3/4 in"),
        ((*LEG, "quantity"), "4", 4),
        ((*LEG, "quantity"), 5, 5),
        ((*LEG, "glued_up"), "yes", True),
        ((*LEG, "waste"), "6 to 9 %", "6 .. 9 %"),
        (("piece", "title"), "42", "42"),
        (("piece", "title"), 42, "42"),
        (("piece", "included"), "felt pads; a spare leg", ["felt pads", "a spare leg"]),
        (("piece", "included"), ["one; two"], ["one; two"]),
        (("price", "discount"), "100", 100),
        (("hardwood", 0, "yield"), "80 %", "80 %"),
        (("quote", "date"), "2027-03-01", tables_of("d = 2027-03-01")["d"]),
        (("delivery", "place"), "[47.7, -116.5]", [47.7, -116.5]),
    ]:
        done = change(job, where, typed, read_toml(job))
        found = within(tables_of(job.read_text("utf-8")), where)
        assert (found, type(found)) == (written, type(written)), where
        assert done.source.raw == tables_of(job.read_text("utf-8"))
        assert done.meanwhile == ()


def test_what_is_not_right_is_written_and_told(job: Path) -> None:
    """A maker may be half-way: only the problem comes back."""
    done = change(job, LENGTH, "17", read_toml(job))
    assert 'length = "17"' in job.read_text("utf-8")
    assert [(one.field, one.line) for one in done.problems] == [("hardwood.leg.length", 17)]
    assert change(job, LENGTH, "17 in", read_toml(job)).problems == ()


@pytest.mark.parametrize(
    "text",
    [
        '"] x = [',
        "\n[[hardwood]]\n",
        "\\u0041\\",
        "'''",
        '"""',
        "a\x00b\x7f",
        "# no",
        "é😀\u202e",
        "a = 1\r\n",
    ],
)
def test_hostile_text_stays_data(job: Path, text: str) -> None:
    """In a value, as a new field and in a new part, it is one text and nothing else."""
    for where in (("piece", "title"), ("client", "name")):
        change(job, where, text, read_toml(job))
        assert within(tables_of(job.read_text("utf-8")), where) == text.strip()
    add_part(job, "buy", {"item": text, "quantity": "1"}, read_toml(job))
    assert tables_of(job.read_text("utf-8"))["buy"] == [{"item": text.strip(), "quantity": 1}]


def test_a_range_keeps_its_cause(job: Path) -> None:
    """Only the range is typed anew."""
    change(job, ("hardwood", 0, "waste"), "6 .. 9 %", read_toml(job))
    assert 'waste = { value = "6 .. 9 %", cause = "knots" }' in job.read_text("utf-8")


def test_none_takes_a_field_out(job: Path) -> None:
    """With the comment at the end of its line; once more changes nothing."""
    for _ in range(2):
        change(job, ("hardwood", 0, "length"), None, read_toml(job))
        assert job.read_text("utf-8") == JOB.replace('length = "15 in" # across\n', "")


def test_what_does_not_exist_is_refused_with_the_nearest_name(job: Path) -> None:
    """An unknown field or section, a position that is none, a section in the place of a field."""
    for where, value, words, code in [
        ((*LEG, "lenght"), "17 in", 'write "length"', "unknown_field"),
        (("hardwod", 0, "length"), "17 in", 'write "hardwood"', "unknown_section"),
        (("hardwood", 7, "length"), "17 in", "found no such entry", "no_place"),
        (("hardwood", 0), {}, "name a field", "not_a_field"),
        (("piece",), {"title": "x"}, "name a field", "not_a_field"),
        (("piece", "title", "x"), "y", "does not exist", "unknown_field"),
        ((), "y", "name a field", "not_a_field"),
        (("hardwood", "seat", "length"), "17 in", "could hold it", "no_place"),
        (("hardwood", -1, "length"), "17 in", "table of its own|no such entry", "not_a_field"),
        (LENGTH, {"a": object()}, "cannot hold", "cannot_hold"),
        (("cause", "\ud800", "factor"), "1", "no text", "cannot_hold"),
    ]:
        with pytest.raises(Problems, match=words) as told:
            change(job, where, value, read_toml(job))
        (problem,) = told.value.problems
        assert (problem.code, problem.path) == (code, where)
    with pytest.raises(Problems, match='write "species"'):
        add_part(job, "hardwood", {"specis": "oak"}, read_toml(job))
    for trade in ("piece", "cause", "walnut"):
        with pytest.raises(Problems, match=r"no parts|does not exist"):
            add_part(job, trade, {}, read_toml(job))
    with pytest.raises(Problems, match="found no position 9"):
        move_part(job, LEG, 8, read_toml(job))
    with pytest.raises(Problems, match="found no such part"):
        remove_part(job, ("hardwood", 4), read_toml(job))
    assert job.read_text("utf-8") == JOB


def test_parts_that_are_written_another_way_are_refused(job: Path) -> None:
    """One table where a list belongs, all parts in one list: nothing is guessed."""
    for section in (
        '[buy]\nitem = "pads"\n',
        'buy = [ { item = "pads" } ]\n[cut]\n',
        'buy = ["pads"]\n[cut]\n',
    ):
        text = section + JOB if section.startswith("buy") else JOB + section
        job.write_text(text, "utf-8")
        shown = read_toml(job)
        for recipe in (remove_part, copy_part):
            with pytest.raises(Problems, match=r"one table|one list"):
                recipe(job, ("buy", 0), shown)
        with pytest.raises(Problems, match=r"one table|one list"):
            add_part(job, "buy", {"item": "knobs"}, shown)
        assert job.read_text("utf-8") == text


def test_files_that_are_not_edited_are_told_in_words(job: Path) -> None:
    """A spreadsheet, bytes of no text, line ends of old, what is no TOML any more, no file at all."""
    shown = read_toml(job)
    with pytest.raises(Problems, match="spreadsheet") as told:
        change(job.with_suffix(".xlsx"), LENGTH, "1 in", shown)
    assert told.value.problems[0].code == "file_kind"
    assert told.value.said("terminal").endswith("make a job file of it: quoting convert.")
    for data, words, code in [
        (b"title = \xff", "UTF-8", "not_utf8"),
        (JOB.replace("\n", "\r").encode(), "line ends", "cannot_change"),
        (b"title = ", "cannot be read as TOML", "not_toml"),
    ]:
        job.write_bytes(data)
        with pytest.raises(Problems, match=words) as told:
            change(job, LENGTH, "1 in", shown)
        assert told.value.problems[0].code == code
        assert job.read_bytes() == data
    job.unlink()
    with pytest.raises(Problems, match="cannot be read"):
        change(job, LENGTH, "1 in", shown)


def test_what_an_editor_changed_elsewhere_is_kept_and_told(job: Path) -> None:
    """The field is as it was shown and its part in its place: both changes are in the file."""
    shown = read_toml(job)
    edited(job, 'width = "14 in"', 'width = "13 in"')
    edited(job, "[piece]", '[client]\nname = "M. Aalto"\n\n[piece]')
    done = change(job, LENGTH, "18 in", shown)
    assert set(done.meanwhile) == {"hardwood.seat.width", "client"}
    text = job.read_text("utf-8")
    assert all(one in text for one in ('width = "13 in"', 'length = "18 in"', "M. Aalto"))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('length = "17 in"', 'length = "16 in"', 'found "16 in" in the file, where "17 in" was shown; write "18 in" over it'),
        ('length = "17 in"\n', "", 'found nothing in the file, where "17 in" was shown'),
        ('part = "leg"', 'part = "rail"', 'found "rail" in its place, where "leg" was shown'),
        ("[[hardwood]]\npart", '[[hardwood]]\npart = "top"\n\n[[hardwood]]\npart', 'found "seat" in its place, where "leg" was shown'),
        (JOB[JOB.index('[[hardwood]]\npart = "leg"') : JOB.index("[[board]]")], "", 'found nothing in its place, where "leg" was shown'),
    ],
)  # fmt: skip
def test_the_same_changed_by_two_is_not_written(job: Path, old: str, new: str, words: str) -> None:
    """The same field, or another part in its place: nothing is written, both values are told."""
    shown = read_toml(job)
    text = job.read_text("utf-8")
    job.write_text(text.replace(old, new, 1), "utf-8")
    before = job.read_bytes()
    with pytest.raises(Changed) as told:
        change(job, LENGTH, "18 in", shown)
    assert words in str(told.value)
    assert told.value.mine == "18 in"
    assert [(one.code, one.path) for one in told.value.problems] == [("changed", LENGTH)]
    assert job.read_bytes() == before


def test_entries_without_a_name_are_told_apart_by_all_they_say(job: Path) -> None:
    """A board has no id: if anything else of it differs, it may be another."""
    shown = read_toml(job)
    edited(job, 'width = "6 in"', 'width = "7 in"')
    with pytest.raises(Changed):
        change(job, ("board", 0, "length"), "9 ft", shown)


def test_parts_are_added_moved_copied_and_taken_out(job: Path) -> None:
    """What is left empty is not written; a copy has an id of its own, so that the job stays right."""
    done = add_part(job, "hardwood", {"part": "rail", "species": "red oak", "length": "12 in", "width": "2 in", "thickness": "1 in", "quantity": "4", "stage": ""}, read_toml(job))  # fmt: skip
    assert (done.at, done.problems) == (("hardwood", 2), ())
    assert "stage" not in done.source.raw["hardwood"][2]
    done = copy_part(job, LEG, read_toml(job))
    assert (done.at, done.problems) == (("hardwood", 2), ())
    assert done.source.raw["hardwood"][2] == {**done.source.raw["hardwood"][1], "id": "leg-2"}
    done = copy_part(job, LEG, read_toml(job))
    assert [one.get("id") for one in done.source.raw["hardwood"]] == [None, None, "leg-3", "leg-2", None]
    assert copy_part(job, ("board", 0), read_toml(job)).source.raw["board"][1] == done.source.raw["board"][0]
    done = move_part(job, ("hardwood", 4), 0, read_toml(job))
    assert [one["part"] for one in done.source.raw["hardwood"]] == ["rail", "seat", "leg", "leg", "leg"]
    for _ in range(5):
        done = remove_part(job, ("hardwood", 0), read_toml(job))
    assert "hardwood" not in done.source.raw


def test_parts_that_an_editor_touched_are_left_alone(job: Path) -> None:
    """Moved, taken out or copied is only what is as it was shown; a part is added whatever else changed."""
    shown = read_toml(job)
    edited(job, 'length = "17 in"', 'length = "16 in"')
    for recipe in (remove_part, copy_part):
        with pytest.raises(Changed):
            recipe(job, LEG, shown)
    assert move_part(job, LEG, 0, shown).meanwhile == ("hardwood.leg.length",)
    for recipe in (remove_part, copy_part):
        with pytest.raises(Changed, match="found leg, seat in the file, where seat, leg was shown"):
            recipe(job, ("hardwood", 0), shown)
    with pytest.raises(Changed):
        move_part(job, ("hardwood", 0), 1, shown)
    assert add_part(job, "buy", {"item": "felt pads", "quantity": 4}, shown).source.raw["buy"]


def test_a_link_is_written_through_and_a_mode_kept(job: Path, tmp_path: Path) -> None:
    """The file that it leads to is replaced, the link stays; who may read it stays as it was."""
    real = tmp_path / "elsewhere" / "stool of mine.toml"
    real.parent.mkdir()
    shutil.move(job, real)
    real.chmod(0o600)
    job.symlink_to(real)
    change(job, LENGTH, "18 in", read_toml(job))
    assert job.is_symlink()
    assert real.read_text("utf-8") == JOB.replace("17 in", "18 in")
    assert real.stat().st_mode & 0o777 == 0o600
    assert os.listdir(real.parent) == [real.name]


def test_a_file_written_in_that_very_moment_is_read_again(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between reading and writing somebody else saved: the edit is made on what they wrote."""
    import quoting.runs.edit as module

    shown, real = read_toml(job), module.typed
    late = ["18 in"]

    def slow(*args: Any) -> Any:
        if late:
            edited(job, 'width = "14 in"', f'width = "{late.pop()}"')
        return real(*args)

    monkeypatch.setattr(module, "typed", slow)
    assert change(job, LENGTH, "19 in", shown).meanwhile == ("hardwood.seat.width",)
    text = job.read_text("utf-8")
    assert 'width = "18 in"' in text
    assert 'length = "19 in"' in text


def test_a_shop_file_is_edited_like_a_job(shop: Path) -> None:
    """A default that the shop leaves out is put in force; what is wrong in it comes back."""
    path = shop / SHOP_FILE
    done = change(path, ("pricing", "margin"), "31 %", read_toml(path))
    assert done.source.raw["pricing"]["margin"] == "31 %"
    assert done.problems == ()
    assert change(path, ("pricing", "margin"), "31", read_toml(path)).problems[0].field == "pricing.margin"
    with pytest.raises(Problems, match='write "margin"'):
        change(path, ("pricing", "margn"), "31 %", read_toml(path))


SOME = {"jobs/padded_stool.toml": 7, "templates/shop.toml": 25}
"""Files of which every day each so manieth field is changed; all of every file in the full run."""


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("file", "each"),
    [
        *(pytest.param(FILES[NAMES.index(name)], each, id=f"{name}-some") for name, each in SOME.items()),
        *(pytest.param(file, 1, id=name, marks=pytest.mark.exhaustive) for file, name in zip(FILES, NAMES, strict=True)),
    ],
)  # fmt: skip
def test_every_field_of_every_file(
    shop: Path, file: Path, each: int, way: Callable[[str], str], tmp_path: Path
) -> None:
    """Through a link, with a mode of its own, as several systems leave it: the value differs, every other byte is alike."""
    text = way(file.read_text("utf-8"))
    real = tmp_path / file.name
    path = shop / SHOP_FILE if file.name == SHOP_FILE else shop / "jobs" / file.name
    path.unlink(missing_ok=True)
    path.symlink_to(real)
    raw, root = tables_of(text), Shop if file.name == SHOP_FILE else Job
    # Not what stands within a value that is read as one, such as a list of corners.
    places = [one for one in (*paths(raw), *shown_fields(text)) if no_such(root, one, raw) is None][::each]
    for where in places:
        real.write_bytes(text.encode())
        real.chmod(0o600)
        shown = read_toml(path)
        done = change(path, where, "17 1/2 in", shown)
        after = real.read_bytes().decode()
        found = within(done.source.raw, where)
        assert found in ("17 1/2 in", ["17 1/2 in"]), where
        out, into = changed(text, after)
        assert into in f"{where[-1]} = {toml_value(found)}"
        if where in scan(text).values:
            assert out in text[slice(*scan(text).values[where])]
        assert path.is_symlink()
        assert real.stat().st_mode & 0o777 == 0o600
