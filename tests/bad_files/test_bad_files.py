"""Files that are wrong, each told with its place and what to write instead.

`files/` holds one file a fault, `bad_files/` beside the tests of a trade those of that trade. Its comments say what the message must hold:

    # expect: words that the message must contain   (one line for each)
    # line: 14                                      (the line of this file that it must name)
    # problems: 2                                   (how many things there are to put right; 1 where it is silent)
    # with: a job of its head alone                 (for a price file that holds no price to be missed)

`*.job.toml` is read with the starter shop and price file, `*.shop.toml` and `*.prices.csv` with a job of
four felt pads.
"""

from __future__ import annotations

import json
import os
import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest

from quoting.__main__ import run
from quoting.job.starters import shipped
from quoting.runs.answer import answer, options_of

if TYPE_CHECKING:
    from collections.abc import Callable

FILES = Path(__file__).parent / "files"
HEAD = 'format = 1\n\n[piece]\ntitle = "Low bench"\n'
PLAIN_JOB = HEAD + '\n[[buy]]\nitem = "felt pads"\nquantity = 4\n'
TARGETS = {"job": "jobs/{}", "shop": "shop.toml", "prices": "prices.csv"}


class Bad(NamedTuple):
    """A bad file and what must be said of it."""

    path: Path
    words: tuple[str, ...]
    lines: tuple[int, ...]
    problems: int
    head_only: bool

    @property
    def kind(self) -> str:
        return self.path.name.split(".")[1]


def bad(path: Path) -> Bad:
    text = path.read_bytes().decode("utf-8", "replace")

    def said(what: str) -> list[str]:
        return [line.strip() for line in re.findall(rf"^# {what}: (.+)$", text, re.MULTILINE)]

    return Bad(
        path,
        tuple(said("expect")),
        tuple(int(line) for line in said("line")),
        int((said("problems") or ["1"])[0]),
        said("with") == ["a job of its head alone"],
    )


OF_TRADES = FILES.parents[1].glob("trades/*/bad_files/*.*")
BAD = [bad(path) for path in sorted([*FILES.iterdir(), *OF_TRADES])]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop folder of the starter shop and price file, with a job that has nothing wrong."""
    for name in ("shop.toml", "prices.csv"):
        (tmp_path / name).write_text(shipped("templates").joinpath(name).read_text(encoding="utf-8"), "utf-8")
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "plain.toml").write_text(PLAIN_JOB, "utf-8")
    return tmp_path


@pytest.fixture
def complaint(shop: Path, capsys: pytest.CaptureFixture[str]) -> Callable[[Path], str]:
    """What `check` says of a job that cannot be priced; nothing may be written."""

    def check(job: Path) -> str:
        before = contents(shop)
        status = run(["check", str(job)])
        out, err = capsys.readouterr()
        assert status == 2, f"exit status {status}: {err or out}"
        assert out == ""
        assert "Traceback" not in err
        assert "fault of ours" not in err
        assert contents(shop) == before
        return err

    return check


def contents(folder: Path) -> dict[str, bytes | None]:
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }


def number_of_problems(said: str) -> int:
    """The number in the last line, which counts what there is to put right; 1 where there is no such line."""
    counted = re.search(r"^(\d+) things? to put right; nothing was written\.$", said, re.MULTILINE)
    assert counted, said
    return int(counted[1])


def test_every_bad_file_says_what_must_be_told() -> None:
    assert len(BAD) >= 60
    assert [one.path.name for one in BAD if not one.words or one.kind not in TARGETS] == []
    words = [word for one in BAD for word in one.words]
    assert all(len(word) > 2 for word in words)


@pytest.mark.parametrize("one", BAD, ids=lambda one: one.path.name)
def test_a_bad_file_is_told_with_its_place(one: Bad, shop: Path, complaint: Callable[[Path], str]) -> None:
    """The message holds every expected word and the line, and counts nothing beside."""
    target = shop / TARGETS[one.kind].format(one.path.name)
    target.write_bytes(one.path.read_bytes())
    if one.head_only:
        (shop / "jobs" / "plain.toml").write_text(HEAD, "utf-8")
    said = complaint(target if one.kind == "job" else shop / "jobs" / "plain.toml")
    for word in one.words:
        assert word in said
    for line in one.lines:
        assert re.search(rf"^{re.escape(target.name)}:{line}: ", said, re.MULTILINE), said
    assert number_of_problems(said) == one.problems, said


HELD = Path(__file__).parent / "held.csv"
"""A row for every problem of a bad file: its name, the kind of fault, and the path in the file it stands in. Renew with QUOTING_RENEW=1
and read the diff.
"""


def test_every_bad_file_has_its_kinds_and_paths(shop: Path) -> None:
    """What programs read of a fault: its kind and its place; values that are plain data."""
    rows = []
    for one in BAD:
        plain = shop / "jobs" / "plain.toml"
        plain.write_text(HEAD if one.head_only else PLAIN_JOB, "utf-8")
        target = shop / TARGETS[one.kind].format(one.path.name)
        before = target.read_bytes() if target.is_file() else None
        target.write_bytes(one.path.read_bytes())
        found = answer(target if one.kind == "job" else plain, None, (), date(2027, 3, 1))
        fresh = [problem for option in options_of(found) for problem in option.problems]
        for problem in dict.fromkeys([*found.problems, *fresh]):
            json.dumps(dict(problem.values), allow_nan=False)
            rows.append((one.path.name, problem.code, "/".join(map(str, problem.path))))
        target.unlink() if before is None else target.write_bytes(before)
    text = "".join(f"{','.join(row)}\n" for row in [("file", "code", "path"), *rows])
    if os.environ.get("QUOTING_RENEW"):
        HELD.write_text(text, "utf-8")
    assert text == HELD.read_text("utf-8")


def test_the_plain_job_is_right(shop: Path) -> None:
    """The job beside which bad shop files and price files are read has nothing wrong of its own."""
    assert run(["check", str(shop / "jobs" / "plain.toml")]) == 0


def test_ten_problems_are_shown_and_the_rest_counted(shop: Path, complaint: Callable[[Path], str]) -> None:
    rows = "".join(
        f'\n[[buy]]\nitem = "felt pads"\nid = "pads-{i}"\nquantity = 0.5\nmass = {i}\n' for i in range(13)
    )
    job = shop / "jobs" / "many.toml"
    job.write_text(HEAD + rows, "utf-8")
    said = complaint(job).splitlines()
    assert [line.startswith("many.toml:") for line in said] == [True] * 10 + [False] * 2
    assert said[10:] == ["... and 3 more", "13 things to put right; nothing was written."]


def test_exactly_ten_problems_are_all_shown(shop: Path, complaint: Callable[[Path], str]) -> None:
    rows = "".join(
        f'\n[[buy]]\nitem = "felt pads"\nid = "pads-{i}"\nquantity = 1\nmass = {i}\n' for i in range(10)
    )
    job = shop / "jobs" / "many.toml"
    job.write_text(HEAD + rows, "utf-8")
    said = complaint(job)
    assert "more" not in said
    assert said.count("many.toml:") == 10


def test_problems_stand_in_the_order_of_their_lines(shop: Path, complaint: Callable[[Path], str]) -> None:
    job = shop / "jobs" / "order.toml"
    job.write_text(
        PLAIN_JOB + 'mass = 3\nlead = 2\n\n[client]\nname = 4\n\n[delivery]\nflights = "one"\n', "utf-8"
    )
    lines = [int(number) for number in re.findall(r"^order\.toml:(\d+):", complaint(job), re.MULTILINE)]
    assert lines == [9, 10, 13, 15, 16]


def test_job_shop_and_price_file_are_told_in_one_run(shop: Path, complaint: Callable[[Path], str]) -> None:
    job = shop / "jobs" / "all.toml"
    job.write_text(PLAIN_JOB + "mass = 3\n", "utf-8")
    text = (shop / "shop.toml").read_text("utf-8")
    (shop / "shop.toml").write_text(text.replace('margin = "25 %"', "margin = 25", 1), "utf-8")
    with (shop / "prices.csv").open("a", encoding="utf-8") as book:
        book.write("oil,litter,42,,,,,\n")
    said = complaint(job)
    assert "all.toml:9: buy.felt-pads.mass: " in said
    assert re.search(r"^shop\.toml:\d+: pricing\.margin: ", said, re.MULTILINE)
    assert re.search(r"^prices\.csv:\d+: oil\.unit: ", said, re.MULTILINE)
    assert number_of_problems(said) == 3


def test_a_file_that_is_no_toml_does_not_hide_the_others(
    shop: Path, complaint: Callable[[Path], str]
) -> None:
    """A syntax error in the job leaves the faults of the shop file to be told in the same run."""
    job = shop / "jobs" / "all.toml"
    job.write_text(PLAIN_JOB + "mass = kg\n", "utf-8")
    text = (shop / "shop.toml").read_text("utf-8")
    (shop / "shop.toml").write_text(text.replace('margin = "25 %"', "margin = 25", 1), "utf-8")
    said = complaint(job)
    assert "all.toml:9: cannot be read as TOML" in said
    assert "pricing.margin" in said


def test_a_wrong_value_does_not_hide_a_wrong_part(shop: Path, complaint: Callable[[Path], str]) -> None:
    """A value that cannot be read and a part that cannot be reckoned are told in one run."""
    job = shop / "jobs" / "both.toml"
    glass = '\n[[glass]]\npart = "shelf"\nlength = "40 in"\nwidth = "12 in"\nthickness = "7 mm"\nprice = 90\n'
    job.write_text(PLAIN_JOB + "mass = 3\n" + glass, "utf-8")
    said = complaint(job)
    assert "buy.felt-pads.mass" in said
    assert "glass.shelf.thickness" in said


def test_a_fault_is_told_once_however_many_options_there_are(
    shop: Path, complaint: Callable[[Path], str]
) -> None:
    job = shop / "jobs" / "options.toml"
    options = "".join(f'\n[[option]]\nname = "option {i}"\n' for i in range(3))
    job.write_text(PLAIN_JOB.replace("felt pads", "felt feet") + options, "utf-8")
    assert number_of_problems(complaint(job)) == 1


def test_a_fault_of_an_option_names_the_option(shop: Path, complaint: Callable[[Path], str]) -> None:
    job = shop / "jobs" / "option.toml"
    job.write_text(
        PLAIN_JOB + '\n[[option]]\nname = "in walnut"\nset = { "buy.felt-pads.item" = "walnut pads" }\n',
        "utf-8",
    )
    said = complaint(job)
    assert "in walnut" in said
    assert 'no price of "walnut pads"' in said
    assert re.search(r"^option\.toml:\d+: ", said)


def test_a_wrong_value_in_an_option_is_told(shop: Path, complaint: Callable[[Path], str]) -> None:
    job = shop / "jobs" / "option.toml"
    job.write_text(
        PLAIN_JOB + '\n[[option]]\nname = "many"\nset = { "buy.felt-pads.quantity" = "4 lengths" }\n', "utf-8"
    )
    assert "lengths" in complaint(job)


@pytest.mark.parametrize("name", ["jobs/plain.toml", "shop.toml", "prices.csv"])
def test_an_empty_file_is_told(name: str, shop: Path, complaint: Callable[[Path], str]) -> None:
    (shop / "jobs" / "plain.toml").write_text(HEAD, "utf-8")
    (shop / name).write_bytes(b"")
    said = complaint(shop / "jobs" / "plain.toml")
    assert re.search(rf"^{re.escape(Path(name).name)}:1: format: found n", said, re.MULTILINE)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("jobs/plain.toml", "plain.toml"),
        ("shop.toml", "found no shop.toml beside plain.toml or in the folder above; write --shop FOLDER"),
        ("prices.csv", "prices.csv"),
    ],
)
def test_a_missing_file_is_told(name: str, words: str, shop: Path, complaint: Callable[[Path], str]) -> None:
    (shop / "jobs" / "plain.toml").write_text(HEAD, "utf-8")
    (shop / name).unlink()
    said = complaint(shop / "jobs" / "plain.toml")
    assert words in said
    assert number_of_problems(said) == 1


@pytest.mark.parametrize("name", ["jobs/plain.toml", "shop.toml", "prices.csv"])
def test_a_folder_in_place_of_a_file_is_told(name: str, shop: Path, complaint: Callable[[Path], str]) -> None:
    (shop / "jobs" / "plain.toml").write_text(HEAD, "utf-8")
    (shop / name).unlink()
    (shop / name).mkdir()
    said = complaint(shop / "jobs" / "plain.toml")
    assert Path(name).name in said
    assert number_of_problems(said) == 1


def test_a_shop_folder_that_is_not_there_is_told(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(shop / "jobs" / "plain.toml"), "--shop", str(shop / "elsewhere")]) == 2
    said = capsys.readouterr().err
    assert str(Path("elsewhere", "shop.toml")) in said
    assert "Traceback" not in said


def test_a_file_of_more_than_five_million_bytes_is_refused(
    shop: Path, complaint: Callable[[Path], str]
) -> None:
    (shop / "jobs" / "plain.toml").write_text(PLAIN_JOB + "# " + "x" * 5_000_001, "utf-8")
    assert "found more than 5000000 bytes" in complaint(shop / "jobs" / "plain.toml")


def test_a_note_longer_than_a_csv_reader_takes_is_told(shop: Path, complaint: Callable[[Path], str]) -> None:
    with (shop / "prices.csv").open("a", encoding="utf-8") as book:
        book.write("oil,L,42,,,,," + "x" * 140_000 + "\n")
    assert re.search(r"^prices\.csv:\d+: ", complaint(shop / "jobs" / "plain.toml"), re.MULTILINE)


def test_wording_that_is_no_toml_is_told_by_price(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "wording.toml").write_text("[quote]\ntitle = Offer\n", "utf-8")
    assert run(["price", str(shop / "jobs" / "plain.toml")]) == 2
    said = capsys.readouterr().err
    assert re.search(r"^wording\.toml:2: cannot be read as TOML", said, re.MULTILINE), said


@pytest.mark.parametrize(("old", "new"), [("\n", "\r\n"), ("format", "\ufeffformat")])
def test_line_ends_and_a_byte_order_mark_do_not_move_the_line(
    old: str, new: str, shop: Path, complaint: Callable[[Path], str]
) -> None:
    text = PLAIN_JOB + "mass = 3\n"
    text = text.replace(old, new) if old == "\n" else text.replace(old, new, 1)
    (shop / "jobs" / "plain.toml").write_bytes(text.encode())
    assert complaint(shop / "jobs" / "plain.toml").startswith("plain.toml:9: buy.felt-pads.mass: found 3;")


def test_a_long_job_full_of_faults_is_told_in_sensible_time(
    shop: Path, complaint: Callable[[Path], str]
) -> None:
    """300 parts with a fault each: the first ten and the count within a few seconds, not minutes."""
    import time

    rows = "".join(
        f'\n[[buy]]\nitem = "felt pads"\nid = "pads-{i}"\nquantity = 1\nmass = {i}\n' for i in range(300)
    )
    job = shop / "jobs" / "many.toml"
    job.write_text(HEAD + rows, "utf-8")
    start = time.monotonic()
    said = complaint(job)
    assert number_of_problems(said) == 300
    assert time.monotonic() - start < 15


def test_a_price_file_that_cannot_be_read_is_not_hidden_by_what_it_would_have_held(
    shop: Path, complaint: Callable[[Path], str]
) -> None:
    """The wrong header is the one thing to put right, not the twelve prices that cannot be found for it."""
    rows = "".join(f'\n[[buy]]\nitem = "thing {i}"\nquantity = 1\n' for i in range(12))
    (shop / "jobs" / "plain.toml").write_text(HEAD + rows, "utf-8")
    book = "# format = 1\nitem,unit,cost,pack,lead,supplier,dated,note\n"
    book += "".join(f"thing {i},each,3,,,,,\n" for i in range(12))
    (shop / "prices.csv").write_text(book, "utf-8")
    said = complaint(shop / "jobs" / "plain.toml")
    assert "prices.csv:2: header: found item,unit,cost" in said
    assert number_of_problems(said) == 1


CASTING = '\n[[casting]]\npart = "inlay"\nvolume = "1 L"\ndepth = "1 in"\nresin = "casting resin"\nsupplied = "client"\n'
GLUED = (
    '\n[[hardwood]]\npart = "seat"\nspecies = "red oak"\nlength = "40 in"\nwidth = "14 in"\n'
    'thickness = "3/4 in"\nglued_up = true\n'
)


@pytest.mark.parametrize(
    ("part", "old", "new", "field"),
    [
        (GLUED, '#stave_width = "6 in"', 'stave_width = "1/8 in"', "timber.stave_width"),
        (CASTING, 'pour_depth = "1 1/2 in"', 'pour_depth = "0 in"', "pour_depth"),
        (CASTING, 'most_in_one_mix = "8 L"', 'most_in_one_mix = "0 L"', "most_in_one_mix"),
        (CASTING, '#mixing_loss = "5 .. 8 .. 12 %"', 'mixing_loss = "100 %"', "mixing_loss"),
    ],
)
def test_a_value_of_the_shop_that_divides_by_nothing_is_told(
    part: str, old: str, new: str, field: str, shop: Path, complaint: Callable[[Path], str]
) -> None:
    text = (shop / "shop.toml").read_text("utf-8")
    assert old in text
    (shop / "shop.toml").write_text(text.replace(old, new), "utf-8")
    (shop / "jobs" / "plain.toml").write_text(HEAD + part, "utf-8")
    assert field in complaint(shop / "jobs" / "plain.toml")


def test_a_glued_up_part_that_the_shop_cannot_glue_is_told_in_the_shop_file(
    shop: Path, complaint: Callable[[Path], str]
) -> None:
    """The line is the shop file's, where the value stands."""
    text = (
        (shop / "shop.toml").read_text("utf-8").replace('#stave_width = "6 in"', 'stave_width = "1/8 in"', 1)
    )
    (shop / "shop.toml").write_text(text, "utf-8")
    line = text[: text.index('stave_width = "1/8 in"')].count("\n") + 1
    (shop / "jobs" / "plain.toml").write_text(HEAD + GLUED, "utf-8")
    assert complaint(shop / "jobs" / "plain.toml").startswith(f"shop.toml:{line}: timber.stave_width: ")


def test_a_shop_file_alone_tells_a_list_that_is_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where no job is read the shop file is looked through for trades that are gone: what is no list names none."""
    shop = shipped("templates").joinpath("shop.toml").read_text(encoding="utf-8")
    (tmp_path / "shop.toml").write_text(
        f'{shop}\n[standard.drilling]\nper = "job"\ntime = "1 h"\napplies_to = 5\n', "utf-8"
    )
    assert run(["rates", str(tmp_path)]) == 2
    assert "standard.drilling.applies_to: found 5; write a list [ ... ]" in capsys.readouterr().err
