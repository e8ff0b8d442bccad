"""quoting start --from: a new job is an old one's text, word by word, with the files it names; nothing is written over."""

from __future__ import annotations

import shutil
import tomllib
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, done_well, edited, price_of, quoting_run
from PIL import Image

from quoting.job.starters import shipped
from quoting.runs.begin import examples

if TYPE_CHECKING:
    from pathlib import Path


def begun(shop: Path, *arguments: str | Path) -> tuple[list[str], str]:
    """Files that were written, and what was said beside them."""
    said = done_well("start", "--from", *arguments, cwd=shop).splitlines()
    written = [line.removeprefix("wrote ") for line in said if line.startswith("wrote ")]
    return written, " ".join(line for line in said if not line.startswith("wrote "))


@pytest.mark.parametrize("name", ["ash_bench", "Ash bench", "boot-cupboard", "oak_stool.toml"])
def test_an_example_by_its_name(shop: Path, name: str) -> None:
    """Byte by byte, with the tallies that it names; what belongs to the order is told, and the next step."""
    written, said = begun(shop, name)
    stem = name.removesuffix(".toml").replace(" ", "_").replace("-", "_").lower()
    path = shop / "jobs" / f"{stem}.toml"
    assert written[0] == str(path)
    assert path.read_bytes() == examples()[stem].read_bytes()
    tallies = ["yard.csv", "rack.csv"] if "cupboard" in name else []
    assert written[1:] == [str(shop / "jobs" / one) for one in tallies]
    for one in tallies:
        assert (shop / "jobs" / one).read_bytes() == (examples()[stem].parent / one).read_bytes()
    raw = tomllib.loads(path.read_text("utf-8"))
    assert f"client.name ({raw['client']['name']})" in said
    assert f"quote.date ({raw['quote']['date']})" in said
    assert ("quoting price" in said) != ("quoting check" in said)


def test_every_example_can_be_begun(shop: Path) -> None:
    """All that come with the tool, each under its own name."""
    jobs = shipped("sample_jobs")
    assert (
        len(examples())
        == sum(len([*one.joinpath("jobs").iterdir()]) for one in jobs.iterdir() if one.is_dir()) - 2
    )
    for name in examples():
        begun(shop, name)


def test_a_quote_of_the_ledger_as_it_was(book: Path) -> None:
    """The job text of that day with its comments, though the file was changed since; tallies and picture where they are gone."""
    job = book / "jobs" / "boot_cupboard.toml"
    Image.new("RGB", (60, 40), "tan").save(book / "jobs" / "cupboard.png")
    edited(job, "[piece]", '# a note of mine\n[piece]\npicture = "cupboard.png"')
    then = job.read_bytes()
    done_well("issue", job, cwd=book)
    number = sorted(one["number"] for one in _pieces(book))[-1]
    beside = {name: (book / "jobs" / name).read_bytes() for name in ("yard.csv", "rack.csv")}
    for name in (*beside, "cupboard.png"):
        (book / "jobs" / name).unlink()
    job.write_text("format = 1\n", "utf-8")
    written, said = begun(book, number)
    path = book / "jobs" / "boot_cupboard-2.toml"
    assert written == [
        str(book / "jobs" / one) for one in (path.name, "yard.csv", "rack.csv", "cupboard.png")
    ]
    assert path.read_bytes() == then
    assert {name: (book / "jobs" / name).read_bytes() for name in beside} == beside
    with Image.open(book / "jobs" / "cupboard.png") as picture:
        assert picture.size == (60, 40)
    assert "not there" not in said
    assert price_of(path)["price"]["total"]


def _pieces(folder: Path) -> list[dict[str, str]]:
    import json

    found: list[dict[str, str]] = json.loads(done_well("pieces", "--all", "--json", cwd=folder))["pieces"]
    return found


def test_a_job_of_another_folder(shop: Path, samples: Path) -> None:
    """What it names is put beside it where it is missing; what is there and says something else is told; so is what is nowhere."""
    model = samples / "tern_hollow" / "jobs" / "boot_cupboard.toml"
    (shop / "jobs" / "yard.csv").write_text("mine", "utf-8")
    (model.parent / "rack.csv").unlink()
    written, said = begun(shop, model, "jobs/mine.toml")
    assert written == ["jobs/mine.toml"]
    assert 'cut.tally: found a "yard.csv" that says something else' in said
    assert 'cut.rack: found no "rack.csv"' in said
    assert (shop / "jobs" / "yard.csv").read_text("utf-8") == "mine"
    assert "quoting check jobs/mine.toml" in said


def test_a_job_that_is_wrong_is_taken_as_it_is(shop: Path) -> None:
    """What is to be put right in it is counted, and told by the next command."""
    model = shop / "odd.toml"
    model.write_text('format = 1\ncut = 5\nclient = "x"\n[piece]\ntitle = "Odd"\npicture = ["x"]\n', "utf-8")
    written, said = begun(shop, model)
    assert (shop / "jobs" / "odd.toml").read_bytes() == model.read_bytes()
    assert written == [str(shop / "jobs" / "odd.toml")]
    assert "things to put right in it here: quoting check" in said
    model.write_text("format = ", "utf-8")
    done = quoting_run("start", "--from", model, cwd=shop)
    assert (done.returncode, done.stdout) == (2, "")
    assert "cannot be read as TOML" in done.stderr


def test_a_name_that_leads_elsewhere_is_not_followed(shop: Path, samples: Path, tmp_path: Path) -> None:
    """A tally above the folder of the job is neither read nor written."""
    model = samples / "tern_hollow" / "jobs" / "boot_cupboard.toml"
    (model.parent.parent / "yard.csv").write_text("secret", "utf-8")
    edited(model, '"yard.csv"', '"../yard.csv"')
    _, said = begun(shop, model)
    assert "outside the folder" in said
    assert not (shop / "yard.csv").exists()


def test_a_spreadsheet_becomes_a_job_file(shop: Path) -> None:
    """The text that says the same."""
    done_well("convert", "jobs/first-bench.toml", "jobs/sheet.xlsx", cwd=shop)
    begun(shop, "jobs/sheet.xlsx")
    first, sheet = (
        tomllib.loads((shop / "jobs" / name).read_text("utf-8"))
        for name in ("first-bench.toml", "sheet.toml")
    )
    assert first["hardwood"] == sheet["hardwood"]


def test_nothing_is_written_over(shop: Path) -> None:
    """A second one of a name gets a number; a file that was asked for and is there is refused, a link that leads nowhere too."""
    for name in ("first-bench-2", "first-bench-3"):
        assert begun(shop, "first-bench")[0] == [str(shop / "jobs" / f"{name}.toml")]
    (shop / "jobs" / "link.toml").symlink_to("nowhere")
    before = contents(shop)
    for target, words in [
        ("jobs/first-bench.toml", "there already"),
        ("jobs/link.toml", "there already"),
        ("jobs/x.txt", "ends in .toml"),
    ]:
        done = quoting_run("start", "--from", "first-bench", target, cwd=shop)
        assert done.returncode == 2
        assert words in done.stderr
    assert contents(shop) == before


def test_what_there_is_not(shop: Path, book: Path) -> None:
    """A name that nothing has is answered with the nearest; a quote that is not there as everywhere."""
    for folder, model, words in [
        (shop, "ash_benhc", 'write "ash_bench"'),
        (shop, "2027-014", "no ledger"),
        (book, "2026-099", "found no quote 2026-099"),
        (shop, "jobs", "found no job file"),
    ]:
        done = quoting_run("start", "--from", model, cwd=folder)
        assert (done.returncode, done.stdout) == (2, "")
        assert words in done.stderr
    assert "name a new folder" in quoting_run("start", cwd=shop).stderr
    shutil.rmtree(shop)
    assert "shop.toml" in quoting_run("start", "--from", "ash_bench", cwd=book.parent).stderr
