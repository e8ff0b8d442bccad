"""A job from the one form to the other; and the answers that are offered where one is filled in."""

import tempfile
import tomllib
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from quoting.by_trade import entries
from quoting.errors import Problems, refuse, refused
from quoting.job.book_cells import SUFFIX
from quoting.job.files import read_job, shop_folder
from quoting.job.job import Job
from quoting.job.load import load_shop, price_file
from quoting.job.starters import starter_text
from quoting.job.text import job_text, lists
from quoting.job.validate import validated
from quoting.reading.tables import Tables, tables
from quoting.runs.pricing import Tell
from quoting.written import put

FORMS = (".toml", SUFFIX)
PRICES = "prices"
"""The list of items of the price file: the one outside which an answer still has a meaning, for things that are yet to be bought."""


def shop_offers(folder: Path) -> dict[str, list[str]]:
    """Answers by the list they stand in, for the jobs of a shop: reference tables, items of the price file, names that the shop file
    gives to tables of a family. Raises Problems where its shop file is wrong."""
    brief = load_shop(folder)
    found = _of_tables(brief.tables)
    found[PRICES] = sorted({row.item for rows in price_file(folder).values() for row in rows})
    named = dict(entries(brief.shop))
    return found | {name: sorted(named[name]) for name in lists() if name not in found}


def offers_near(job: Path, tell: Tell) -> dict[str, list[str]]:
    """Answers for a job of this path: of the shop that it belongs to; of the reference tables alone where there is none, or a wrong
    one, which is told.
    """
    try:
        return shop_offers(shop_folder(job, None))
    except Problems as wrong:
        why = wrong.problems[0]
        place = f"{why.file}:{why.line}: " if why.line else ""
        tell(f"the lists to choose from lack what a shop and its price file name: {place}{why.found}")
        return _of_tables(tables())


def _of_tables(found: Tables) -> dict[str, list[str]]:
    return {"species": sorted(found.species), "fibres": sorted(found.fibres), "metals": sorted(found.metals)}


def convert(job: Path, target: Path, tell: Tell) -> None:
    """Write a job in the form that the name of the target asks for.

    Raises Problems where the job is not right, where the target is there, or where the other form would not say the same.
    """
    _refuse(target)
    source = read_job(job)
    refuse(validated(source, Job, source.raw).problems)
    put({target: _bytes(source.raw, target, job, tell)})


def starter_sheet(target: Path, tell: Tell) -> None:
    """Write a spreadsheet to fill in, empty, with the starter job on a sheet apart as an example."""
    from quoting.documents.job_form import job_book_bytes

    _refuse(target, (SUFFIX,))
    example = tomllib.loads(starter_text("job.toml"))
    put({target: job_book_bytes({}, offers_near(target, tell), example)})


def _refuse(target: Path, forms: Sequence[str] = FORMS) -> None:
    if target.suffix.lower() not in forms:
        raise refused(
            "",
            f"found {target.name}",
            f"name a file that ends in {' or '.join(forms)}",
            code="file_kind",
            name=target.name,
            forms=forms,
        )
    if target.exists():
        raise refused(
            "", f"found {target}, which is there already", "name a new file", code="file_exists", name=target
        )
    if not target.resolve().parent.is_dir():
        raise refused(
            "",
            f"found no folder {target.parent}",
            "name a file in a folder that exists",
            code="file_missing",
            folder=target.parent,
        )


def _bytes(raw: dict[str, Any], target: Path, job: Path, tell: Tell) -> bytes:
    """A job in the form of the target, read back to see that it says the same. The shop of `job` offers what it names."""
    if target.suffix.lower() == SUFFIX:
        from quoting.documents.job_form import job_book_bytes

        data = job_book_bytes(raw, offers_near(job, tell))
        with tempfile.TemporaryDirectory() as made:
            again = Path(made, target.name)
            again.write_bytes(data)
            said = read_job(again).raw
    else:
        data = job_text(raw).encode()
        said = tomllib.loads(data.decode())
    lost = [name for name in raw if raw[name] != said.get(name) and not _is_idle(name, raw)]
    if lost:
        found = f"found something under {', '.join(lost)} that {target.suffix} cannot hold"
        raise refused(
            lost[0],
            found,
            "write it another way, or keep the file that you have",
            code="conflict",
            fields=lost,
            suffix=target.suffix,
        )
    return data


def _is_idle(name: str, raw: dict[str, Any]) -> bool:
    """True of a section that says nothing, where a job without it is the same."""
    default = next((one.default for one in fields(Job) if one.name == name), None)
    return raw[name] == {} and default is not None
