"""A job from the one form to the other: a text file, or a spreadsheet to fill in."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING

from quoting.errors import Problem, Problems
from quoting.inputs.job_book import SUFFIX
from quoting.inputs.job_text import job_text
from quoting.inputs.load import read_job
from quoting.inputs.shipped import shipped
from quoting.written import put

if TYPE_CHECKING:
    from pathlib import Path

FORMS = (".toml", SUFFIX)


def convert(job: Path, target: Path) -> None:
    """Write a job in the form that the name of the target asks for. Raises Problems where the job cannot be read, or the target is there."""
    _refuse(target)
    put({target: _bytes(read_job(job).raw, target)})


def starter_sheet(target: Path) -> None:
    """Write the starter job as a spreadsheet to fill in."""
    if target.suffix.lower() != SUFFIX:
        raise Problems([Problem("", f"found {target.name}", f"name a file that ends in {SUFFIX}")])
    _refuse(target)
    text = shipped("templates").joinpath("job.toml").read_text(encoding="utf-8")
    put({target: _bytes(tomllib.loads(text), target)})


def _refuse(target: Path) -> None:
    if target.suffix.lower() not in FORMS:
        raise Problems([Problem("", f"found {target.name}", "name a file that ends in .toml or .xlsx")])
    if target.exists():
        raise Problems([Problem("", f"found {target}, which is there already", "name a new file")])
    if not target.resolve().parent.is_dir():
        raise Problems(
            [Problem("", f"found no folder {target.parent}", "name a file in a folder that exists")]
        )


def _bytes(raw: dict[str, object], target: Path) -> bytes:
    if target.suffix.lower() == SUFFIX:
        from quoting.documents.job_book import job_book_bytes

        return job_book_bytes(raw)
    return job_text(raw).encode()
