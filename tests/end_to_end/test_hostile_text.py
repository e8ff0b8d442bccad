"""Whatever a maker's text holds, it is text: in the quote, in the workbook, in messages, and never a path."""

from __future__ import annotations

import json
import re
import tomllib
from typing import TYPE_CHECKING

import openpyxl
import pdfplumber
import pypdf
import pytest
from end_to_end.command import contents, edited, environment, quoting_run

from quoting.job.starters import shipped

if TYPE_CHECKING:
    import subprocess
    from collections.abc import Callable
    from pathlib import Path

JOB = """
format = 1
[piece]
code = @code@
title = @title@
words = @words@
included = [@included@]
not_included = [@not included@]
care = @care@
[client]
name = @client@
address = @client address@
email = @client email@
[price]
discount = "5 %"
why = @why@
[quote]
date = 2027-02-01
notes = @notes@
show_options = true
payments = [ { name = @stage@, share = "60 %", due = @due@ }, { name = "Balance", share = "40 %" } ]
[delivery]
road_distance = "9 mi"
[[hardwood]]
part = @wood part@
species = @species@
length = "42 in"
width = "5 in"
thickness = "3/4 in"
[[sheet]]
part = @sheet part@
item = @sheet item@
length = "40 in"
width = "20 in"
sheet_length = "96 in"
sheet_width = "48 in"
mass_per_area = "4 kg/m2"
[[finish]]
part = @finish part@
product = @product@
area = "2 m2"
[[glass]]
part = @glass part@
length = "30 in"
width = "12 in"
thickness = "10 mm"
price = 191
supplier = @glazier@
[[buy]]
item = @bought item@
part = @bought part@
quantity = 4
[[outwork]]
what = @outwork@
price = 40
supplier = @outworker@
[[work]]
task = @task@
hours = "2 h"
[[setback]]
what = @setback@
chance = 0.1
cost = 30
[[option]]
name = @option@
words = @option words@
set = { "piece.quantity" = 2 }
"""
SHOP = """
format = 1
[shop]
name = @shop@
currency = "USD"
address = @shop address@
email = @shop email@
phone = @shop phone@
[pay.owner]
earn_a_year = 50000
[overhead]
@overhead@ = 9600
[species.@species@]
density = "700 kg/m3"
[sundries.@sundry@]
per_labour_hour = 0.9
[fee.card]
share = "2 %"
[pricing]
margin = "25 %"
[tax]
registered = true
rate = "6 %"
name = @tax@
[terms]
words = @terms@
"""
PRICES = """# format = 1
item,unit,price,pack,lead,supplier,dated,note
@species 4/4@,bd ft,9.5,,1 week,@yard@,2027-01-01,@note@
@sheet item@,each,88,,1 week,@sheet supplier@,2027-01-01,
@product@,L,42,1,1 week,,2027-01-01,
@bought item@,each,0.35,20,,,2027-01-01,
"""
WORDING = """
format = 1
[quote]
heading = @heading@
draft = @draft@
valid_until = @valid until@
list_price = @list price@
total = @total@
payments = @payments@
materials = @materials@
sign = @sign@
[safety]
glass = @glass note@
[caution]
dust = @dust note@
"""
FILES = {"jobs/piece.toml": JOB, "shop.toml": SHOP, "prices.csv": PRICES, "wording.toml": WORDING}
SLOT = re.compile("@([^@\n]+)@")
FIELDS = {name: SLOT.findall(text) for name, text in FILES.items()}
ON_THE_QUOTE = {
    "code", "title", "words", "included", "not included", "care", "client", "client address", "client email", "why",
    "notes", "stage", "due", "wood part", "species", "sheet part", "sheet item", "finish part", "product", "glass part",
    "option", "option words", "shop", "shop address", "shop email", "shop phone", "tax", "terms",
    "heading", "draft", "valid until", "list price", "total", "payments", "materials", "sign", "glass note",
}  # fmt: skip
IN_THE_WORKBOOK = {
    "title", "client", "stage", "due", "wood part", "sheet part", "sheet item", "finish part", "product", "glass part",
    "glazier", "bought item", "bought part", "outwork", "outworker", "task", "setback", "shop", "yard", "sheet supplier",
}  # fmt: skip
ON_THE_MAKERS_SHEET = {
    "title",
    "client",
    "wood part",
    "sheet item",
    "product",
    "bought item",
    "yard",
    "dust note",
}


def text_of(slot: str, hostile: str) -> str:
    """What stands in a slot: the hostile text first, then a mark that tells the slot; a grade keeps its size."""
    base, size = (slot.removesuffix(" 4/4"), " 4/4") if slot.endswith(" 4/4") else (slot, "")
    return f"{hostile} zq{base.replace(' ', '')}{size}"


def written(folder: Path, hostile: str, only: str = "") -> Path:
    """A shop folder with the hostile text in every slot, or in those of one file, and its job."""
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)

        def slot(found: re.Match[str], name: str = name) -> str:
            said = text_of(found[1], hostile if only in ("", name) else "plain")
            if name.endswith(".csv"):
                return '"{}"'.format(said.replace('"', '""'))
            return json.dumps(said, ensure_ascii=False).replace("\x7f", "\\u007f")

        path.write_text(SLOT.sub(slot, text), "utf-8")
    return folder / "jobs" / "piece.toml"


def squeezed(text: str) -> str:
    """Without spaces and line ends, which depend on where a line is broken."""
    return "".join(text.split())


def pdf_text(path: Path) -> str:
    reader = pypdf.PdfReader(path)
    for page in reader.pages:
        assert not page.images
        assert "/Annots" not in page
    assert "/Names" not in reader.trailer["/Root"]  # type: ignore[operator] # no script, no attached file
    return squeezed("".join(page.extract_text() for page in reader.pages))


@pytest.fixture
def quoted(tmp_path: Path) -> Callable[..., tuple[Path, subprocess.CompletedProcess[str]]]:
    """Runs `quote` on a hostile folder; only the three files and the record may come to be, and only in `out`."""

    def quote(hostile: str) -> tuple[Path, subprocess.CompletedProcess[str]]:
        job = written(tmp_path / "shop", hostile)
        (tmp_path / "temp").mkdir()
        before = contents(tmp_path)
        out = tmp_path / "out"
        done = quoting_run("quote", job, "--out", out, env=environment(TMPDIR=str(tmp_path / "temp")))
        assert done.returncode == 0, done.stderr
        made = {name for name in contents(tmp_path) if name not in before}
        names = ("piece quote.pdf", "piece breakdown.xlsx", "piece maker sheet.pdf", ".quoting-written.json")
        assert made == {"out", *(f"out/{name}" for name in names)}
        assert {name: data for name, data in contents(tmp_path).items() if name in before} == before
        return out, done

    return quote


HOSTILE = {
    "bold": "<b>bold</b>",
    "closed paragraph": "</para><para>",
    "a picture": '<img src="/etc/passwd"/>',
    "entities": "&amp; &lt;b&gt; &#65;",
    "a link": '<a href="http://127.0.0.1:9/x">x</a>',
    "a sum": "=1+1",
    "a command": "+cmd|' /C calc'!A0",
    "a function": "@SUM(A1:A9)",
    "a subtraction": "-2+3",
    "a hyperlink": '=HYPERLINK("http://127.0.0.1:9";"x")',
    "a path upward": "../../x",
    "an absolute path": "/etc/passwd",
    "slots and formats": "{page} {total} {0} %s %(x)s",
}


@pytest.mark.parametrize("what", HOSTILE)
def test_hostile_text_is_printed_as_it_was_written(
    what: str, quoted: Callable[..., tuple[Path, subprocess.CompletedProcess[str]]]
) -> None:
    """In every field of every file: the quote and the sheet print it, the workbook holds it as text."""
    hostile = HOSTILE[what]
    out, done = quoted(hostile)
    assert "the font of the quote lacks" not in done.stdout
    said = pdf_text(out / "piece quote.pdf")
    assert {slot for slot in ON_THE_QUOTE if squeezed(text_of(slot, hostile)) not in said} == set()
    sheet = pdf_text(out / "piece maker sheet.pdf")
    assert {slot for slot in ON_THE_MAKERS_SHEET if squeezed(text_of(slot, hostile)) not in sheet} == set()
    for text in (said, sheet):
        assert "root:x:" not in text
    cells = [
        cell
        for page in openpyxl.load_workbook(out / "piece breakdown.xlsx").worksheets
        for row in page.iter_rows()
        for cell in row
        if cell.value is not None
    ]
    assert [cell.coordinate for cell in cells if cell.hyperlink] == []
    formulas = [str(cell.value) for cell in cells if cell.data_type == "f"]
    assert len(formulas) > 50
    assert [formula for formula in formulas if "zq" in formula] == []
    texts = " ".join(str(cell.value) for cell in cells if cell.data_type == "s")
    assert {slot for slot in IN_THE_WORKBOOK if text_of(slot, hostile) not in texts} == set()


def test_every_slot_is_looked_for_somewhere() -> None:
    """A slot that no document shows is named here, so that a new one is not forgotten."""
    slots = {slot for found in FIELDS.values() for slot in found}
    unseen = {"note", "species 4/4", "overhead", "sundry"}
    assert slots == ON_THE_QUOTE | IN_THE_WORKBOOK | ON_THE_MAKERS_SHEET | unseen


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("control", ["\0", "\x07", "\x1b[31m", "\x7f"])
def test_a_control_character_is_refused_with_its_place(file: str, control: str, tmp_path: Path) -> None:
    """In any field of any file, each told; the character itself is not sent to the terminal."""
    job = written(tmp_path / "shop", f"be{control}ll", only=file)
    before = contents(tmp_path)
    done = quoting_run("quote", job, "--out", tmp_path / "out", env=environment(TMPDIR=str(tmp_path)))
    assert done.returncode == 2
    name = file.rpartition("/")[2]
    told = [
        line for line in done.stderr.splitlines() if "found a control character; write plain text" in line
    ]
    assert told
    assert all(re.match(rf"{re.escape(name)}:\d+: ", line) for line in told), told
    number = re.search(r"^(\d+) things? to put right; nothing was written\.$", done.stderr, re.MULTILINE)
    assert number
    assert int(number[1]) == len(FIELDS[file])
    assert control[0] not in done.stderr
    assert contents(tmp_path) == before


@pytest.mark.parametrize("file", FILES)
def test_a_nul_byte_is_refused(file: str, shop: Path, bench: Path, tmp_path: Path) -> None:
    """As it stands in a broken file, not spelled out: a message with the file, nothing written."""
    own = bench if file.startswith("jobs") else shop / file
    if file == "wording.toml":
        own.write_text(shipped("templates").joinpath(file).read_text("utf-8"), "utf-8")
    own.write_bytes(
        own.read_bytes()
        .replace(b"oak", b"o\0ak")
        .replace(b"My work", b"My\0work")
        .replace(b"Quote", b"Q\0uote")
    )
    assert b"\0" in own.read_bytes()
    before = contents(shop)
    done = quoting_run("quote", bench, "--out", tmp_path / "out")
    assert done.returncode == 2
    assert re.search(rf"^{own.name}:\d+: ", done.stderr, re.MULTILINE), done.stderr
    assert "\0" not in done.stderr
    assert contents(shop) == before
    assert not (tmp_path / "out").exists()


FIRST_LETTERS = {"שלום לוי": "ש", "مرحبا": "م", "Bench 🪑": "🪑", "森の椅子": "森"}


@pytest.mark.parametrize("hostile", FIRST_LETTERS)
def test_what_the_font_lacks_is_told_field_by_field(
    hostile: str, quoted: Callable[..., tuple[Path, subprocess.CompletedProcess[str]]]
) -> None:
    """A gap that can be seen, and a warning for each field; the workbook keeps the letters."""
    letter = FIRST_LETTERS[hostile]
    out, done = quoted(hostile)
    warned = set(
        re.findall(
            r"^warning: (\S+): the font of the quote lacks ", squeezed_lines(done.stdout), re.MULTILINE
        )
    )
    for field in (
        "piece.title", "piece.code", "piece.words", "piece.included", "client.name", "price.why", "quote.notes",
        "terms.payments", "option.name", "shop.name", "tax.name", "terms.words", "wording.quote.total", "wording.safety.glass",
    ):  # fmt: skip
        assert field in warned
    said = pdf_text(out / "piece quote.pdf")
    assert letter not in said
    assert "□" in said
    assert "zqtitle" in said
    cells = openpyxl.load_workbook(out / "piece breakdown.xlsx")
    texts = [str(cell.value) for page in cells.worksheets for row in page.iter_rows() for cell in row]
    assert any(letter in text for text in texts)


def squeezed_lines(text: str) -> str:
    """Warnings that run over several lines, each on one."""
    return re.sub(r"\n +", " ", text)


@pytest.mark.parametrize("letters", [1_500, pytest.param(10_000, marks=pytest.mark.exhaustive)])
def test_words_of_thousands_of_letters(letters: int, tmp_path: Path) -> None:
    """Broken over lines and pages in every field; cut short only where a page has one line for it."""
    job = written(tmp_path / "shop", "plain")
    long = "Ω" * letters
    slots = (
        "title",
        "words",
        "included",
        "client",
        "why",
        "notes",
        "stage",
        "option",
        "finish part",
        "product",
    )
    for file in FILES:
        for slot in slots:
            path = tmp_path / "shop" / file
            path.write_text(path.read_text("utf-8").replace(text_of(slot, "plain"), long + slot[:1]), "utf-8")
    edited(tmp_path / "shop" / "shop.toml", text_of("shop", "plain"), long)
    done = quoting_run("quote", job, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    assert pdf_text(tmp_path / "out" / "piece quote.pdf").count("Ω") >= letters * (len(slots) + 1)
    openpyxl.load_workbook(tmp_path / "out" / "piece breakdown.xlsx")


def labels(letters: str) -> str:
    """A wording file with the same word for every label."""
    known = tomllib.loads(shipped("templates").joinpath("wording.toml").read_text("utf-8"))["quote"]
    lines = "".join(f'{name} = "{letters}"\n' for name in known if name != "language")
    return f"format = 1\n[quote]\n{lines}"


def test_the_longest_labels_stay_on_the_paper(shop: Path, bench: Path, tmp_path: Path) -> None:
    """In tables, headings, head and foot of every page."""
    (shop / "wording.toml").write_text(labels("Ω" * 200), "utf-8")
    done = quoting_run(
        "quote", bench, "--out", tmp_path / "out", "--set", "tax.registered=true", "--set", "tax.rate=6 %"
    )
    assert done.returncode == 0, done.stderr
    with pdfplumber.open(tmp_path / "out" / "first-bench quote.pdf") as document:
        for page in document.pages:
            for char in page.chars:
                assert 0 <= char["x0"] <= char["x1"] <= page.width
                assert 0 <= char["top"] <= char["bottom"] <= page.height


def test_a_longer_label_is_refused(shop: Path, bench: Path, tmp_path: Path) -> None:
    (shop / "wording.toml").write_text(labels("Ω" * 201), "utf-8")
    done = quoting_run("quote", bench, "--out", tmp_path / "out")
    assert done.returncode == 2
    assert re.search(
        r"^wording.toml:3: quote.heading: found 201 characters; write at most 200.$",
        done.stderr,
        re.MULTILINE,
    )
    assert not (tmp_path / "out").exists()


def test_words_are_told_with_everything_else(shop: Path, bench: Path, tmp_path: Path) -> None:
    """An unknown section, an unknown text and a language nobody speaks, beside what is wrong in the job."""
    words = '[quote]\nlanguage = "xx"\ntotall = "Sum"\n[qoute]\n'
    (shop / "wording.toml").write_text(words, "utf-8")
    done = quoting_run("check", bench, "--set", "piece.picture=no.png")
    assert done.returncode == 2
    for told in (
        'wording.toml:2: quote.language: found "xx"; write a language',
        'wording.toml:3: quote.totall: found no text of the quote; write "total"',
        'wording.toml:4: qoute: found an unknown section; write "quote"',
        '--set: piece.picture: found "no.png"',
        "4 things to put right",
    ):
        assert told in done.stderr


def test_an_overlong_text_is_refused(bench: Path, tmp_path: Path) -> None:
    before = contents(bench.parents[1])
    done = quoting_run("quote", bench, "--out", tmp_path / "out", "--set", f"piece.title={'x' * 20_001}")
    assert done.returncode == 2
    assert "piece.title: found 20001 characters; write at most 20000" in done.stderr
    assert len(done.stderr) < 400
    assert contents(bench.parents[1]) == before
