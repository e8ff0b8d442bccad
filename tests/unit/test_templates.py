"""The templates are the list of keys: compared with the records, both ways."""

from __future__ import annotations

import dataclasses
import os
import re
import tomllib
import types
import typing
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from sharing import DAY

from quoting import runs
from quoting.__main__ import run
from quoting.job.form import form
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.starters import shipped, starter_text

HEADER = re.compile(r"\[\[?(?P<path>[^\[\]]+)\]\]?")
KEY = re.compile(r'(?P<key>[a-z_]+|"[^"]+") *= *(?P<value>.+)')
ROOTS = {"shop.toml": form(Shop), "job.toml": form(Job)}


def template(name: str) -> str:
    return shipped("templates").joinpath(name).read_text(encoding="utf-8")


def every_key(template: str) -> str:
    """A template with its commented keys and headers taken up: the normative list of keys."""
    shown = re.sub(r"^# e\.g\. (?=[a-z\[\"])", "", template, flags=re.MULTILINE)
    return re.sub(r"^#(?=[a-z\[\"])", "", shown, flags=re.MULTILINE)


def is_record(kind: Any) -> bool:
    return dataclasses.is_dataclass(kind) and hasattr(kind, "__pydantic_config__")


def below(kind: Any) -> Any:
    """The record inside X | None, tuple[X, ...] or dict[str, X]; None where there is no record."""
    if is_record(kind):
        return kind
    if typing.get_origin(kind) in (typing.Union, types.UnionType, tuple, dict):
        return next((found for found in map(below, typing.get_args(kind)) if found), None)
    return None


def hints(record: type) -> dict[str, Any]:
    """The fields of a record as a maker writes them, with their types."""
    found = typing.get_type_hints(record)
    return {field.name.rstrip("_"): found[field.name] for field in dataclasses.fields(record)}


def records_below(record: type) -> set[type]:
    """A record and every record that can stand inside it."""
    inner = {found for kind in hints(record).values() if (found := below(kind))}
    return {record}.union(*(records_below(kind) for kind in inner))


class Keys:
    """The keys that a template writes, by the record they belong to; and those that belong to none."""

    def __init__(self, name: str) -> None:
        self.written: dict[type, set[str]] = defaultdict(set)
        self.unknown: list[str] = []
        here: Any = ROOTS[name]
        for number, line in enumerate(every_key(template(name)).splitlines(), start=1):
            if header := HEADER.match(line):
                steps = [step.strip('"') for step in re.findall(r'"[^"]+"|[^.]+', header["path"])]
                here = self.at(ROOTS[name], steps, number)
            elif (key := KEY.match(line)) and is_record(here):
                self.add(here, key["key"].strip('"'), tomllib.loads(f"v = {key['value']}")["v"] if '"""' not in line else "", number)  # fmt: skip

    def at(self, root: Any, steps: list[str], number: int) -> Any:
        """The type at a path; every step is a key of the record above it, or a name of the maker's."""
        here = root
        for step in steps:
            if is_record(here):
                self.add(here, step, None, number)
                here = hints(here).get(step)
                if typing.get_origin(here) is not dict:
                    here = below(here)
            else:
                here = below(here)
        return here

    def add(self, record: type, key: str, value: Any, number: int) -> None:
        kind = hints(record).get(key)
        if kind is None:
            self.unknown.append(f"line {number}: {key} of {record.__name__}")
            return
        self.written[record].add(key)
        inner = below(kind)
        if inner and typing.get_origin(kind) is not dict:
            for table in value if isinstance(value, list) else [value]:
                for name in table if isinstance(table, dict) else ():
                    self.add(inner, name, table[name], number)


@pytest.mark.parametrize("name", ROOTS)
def test_templates_are_put_together_of_the_rows_of_trades(name: str) -> None:
    """To the byte: rows stand in the folders of trades and in frames. QUOTING_RENEW=1 writes the templates anew."""
    path = Path(str(shipped("templates").joinpath(name)))
    if os.environ.get("QUOTING_RENEW"):
        path.write_bytes(starter_text(name).encode())
    assert path.read_bytes() == starter_text(name).encode()


@pytest.mark.parametrize("name", ROOTS)
def test_every_key_of_a_template_is_a_field_of_its_record(name: str) -> None:
    keys = Keys(name)
    assert keys.unknown == []
    assert sum(map(len, keys.written.values())) > 100


@pytest.mark.parametrize("name", ROOTS)
def test_every_field_of_a_record_stands_in_the_template(name: str) -> None:
    keys = Keys(name)
    missing = {
        record.__name__: sorted(set(hints(record)) - keys.written[record])
        for record in records_below(ROOTS[name])
    }
    assert {record: fields for record, fields in missing.items() if fields} == {}


def test_the_comparison_would_find_an_unknown_key() -> None:
    """The reader of templates is itself no friend of whatever stands there."""
    keys = Keys("shop.toml")
    keys.add(ROOTS["shop.toml"], "nonsense", 1, 7)
    keys.at(ROOTS["shop.toml"], ["timber", "nonsense"], 8)
    assert keys.unknown == ["line 7: nonsense of Shop", "line 8: nonsense of Timber"]


def taken_up(text: str) -> str:
    """A template with its commented defaults in force, the examples ("e.g.") left as they are."""
    return re.sub(r'^#(?=[a-z\["])', "", text, flags=re.MULTILINE)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    runs.start(tmp_path / "shop")
    return tmp_path / "shop"


def test_every_commented_default_of_the_shop_file_is_right(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Taking every # away leaves a file with nothing wrong, and a price that has not moved."""
    job = shop / "jobs" / "first-bench.toml"
    usual = runs.price(job, None, DAY)
    text = taken_up(template("shop.toml"))
    assert text.count("\n#") < template("shop.toml").count("\n#") / 2
    (shop / "shop.toml").write_text(text, "utf-8")
    status = run(["check", str(job)])
    assert (status, capsys.readouterr().err) == (0, "")
    taken = runs.price(job, None, DAY)
    assert taken.chain == usual.chain
    assert [line.amount for line in taken.lines] == [line.amount for line in usual.lines]
    assert dict(taken.starter_values) == {}


def test_a_shop_file_may_leave_out_every_commented_line_and_whole_sections(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the head of the template says; a name, a currency, pay, overhead and margin are all that is asked."""
    (shop / "shop.toml").write_text(
        'format = 1\n[shop]\nname = "Workshop"\ncurrency = "USD"\n[pay.owner]\nearn_a_year = 60000\n'
        '[overhead]\nrent = 9000\n[pricing]\nmargin = "25 %"\n',
        "utf-8",
    )
    status = run(["check", str(shop / "jobs" / "first-bench.toml")])
    assert (status, capsys.readouterr().err) == (0, "")


def test_every_commented_line_of_the_job_file_is_right(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Taking every # away leaves only things without a price, and parts that the starter shop does not make."""
    job = shop / "jobs" / "first-bench.toml"
    job.write_text(taken_up(template("job.toml")), "utf-8")
    Image.new("RGB", (3, 2)).save(shop / "jobs" / "bench.jpg")
    for tally in ("yard.csv", "rack.csv"):
        (shop / "jobs" / tally).write_text("# format = 1\nspecies,stock,length,width,count,price\n", "utf-8")
    run(["check", str(job)])
    told = capsys.readouterr().err.splitlines()
    assert [
        line
        for line in told
        if "found no price of" not in line and " put right; " not in line and not line.startswith("... and ")
    ] == []


def test_the_wording_holds_text_alone() -> None:
    words = tomllib.loads(template("wording.toml"))
    texts = {
        f"{section}.{name}": text
        for section, table in words.items()
        if section != "format"
        for name, text in table.items()
    }
    assert texts
    assert {name for name, text in texts.items() if not isinstance(text, str)} == set()


@pytest.mark.parametrize("name", ["shop.toml", "job.toml", "prices.csv", "wording.toml"])
def test_templates_are_plain_text_that_fits_a_screen(name: str) -> None:
    lines = template(name).splitlines()
    assert lines
    assert not any("\t" in line or line != line.rstrip() for line in lines)
    assert any(line.replace(" ", "").lstrip("#") == "format=1" for line in lines)
