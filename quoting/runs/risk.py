"""How sure a price is: a job drawn many times, and a picture of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, Problems
from quoting.job.shop_rules import draws_rule
from quoting.pricing.outlook import outlook_of
from quoting.runs.pricing import check, priced_alone
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from quoting.pricing.outlook import Outlook
    from quoting.pricing.record import Priced


class Risk(NamedTuple):
    """A price, how sure it is, and the pictures that were written."""

    priced: Priced
    outlook: Outlook
    written: list[Path]


def risk(
    job: Path,
    shop: Path | None,
    settings: Sequence[str],
    draws: int | None,
    seed: int | None,
    out: Path | None,
    overwrite: bool = False,
) -> Risk:
    """Price a job and draw it. `draws` and `seed` else as job and shop say; pictures are written into `out`."""
    if wrong := list(draws_rule("--draws", draws)):
        raise Problems(wrong)
    if seed is not None and seed < 0:
        raise Problems([Problem("--seed", f"found {seed}", "write a whole number, 0 or more")])
    checked = check(job, shop, settings)
    priced = priced_alone(checked)
    found = outlook_of(checked.brief, priced, draws, seed)
    written = []
    if out is not None:
        from quoting.documents.pictures.risk import risk_picture
        from quoting.documents.pictures.writers import files_of

        files = files_of(f"{job.stem} risk", risk_picture(priced, found))
        written = write_all(out, files, str(job.resolve()), overwrite)
    return Risk(priced, found, written)
