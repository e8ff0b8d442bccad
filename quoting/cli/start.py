"""Commands to begin with: a shop folder, a job from another one or in another form, what is wrong in it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

from quoting.cli.app import Answer, Job, Settings, Shop, arg, command, here, same, this_day
from quoting.cli.terminal import counted, tell, wrapped
from quoting.errors import refused


@command()
def start(
    folder: Annotated[
        Path | None, arg("[FOLDER]", "A new folder; with --sheet or --from a new file.")
    ] = None,
    sheet: Annotated[bool, arg("--sheet", "Write only a job, as a spreadsheet to fill in (.xlsx).")] = False,
    model: Annotated[
        str, arg("--from", "Begin a job from an issued quote (2027-014), a job file, or an example.", "MODEL")
    ] = "",
    shop: Shop = None,
) -> Answer:
    """Make a shop folder with a first job; with --from a new job in a shop.

    Every field of shop.toml and of the job is explained by a comment with its unit and default.
    """
    if model:
        return _begun(model, folder, shop)
    if folder is None:
        wanted = "name a new folder, such as my_shop: quoting start my_shop"
        raise refused("", "found no name", wanted, code="missing")
    if sheet:
        from quoting.runs.convert import starter_sheet

        starter_sheet(folder, tell)
        told = "Its last sheet shows an example. Fill it in and keep it in the jobs folder of your shop; every command takes it as a job."
        return Answer(wrapped(f"Made {folder}. {told}"))
    from quoting.runs.pricing import start as recipe

    made = recipe(folder)
    look = wrapped(f"Six values in {folder / 'shop.toml'} are marked LOOK: read those first.")
    said = wrapped(f"Made {folder} with {', '.join(made)}.")
    return Answer(f"{said}\n{look}", next=("price", folder / made[-1]))


def _begun(model: str, target: Path | None, shop: Path | None) -> Answer:
    """A new job from another one, and what to look at in it."""
    from quoting.runs.begin import begin

    near = () if target is None else (target.resolve().parent, target.resolve().parent.parent)
    found = begin(model, house_of(shop, near), target)
    looks = [f"Look at what belongs to the former order: {', '.join(found.look)}."] if found.look else []
    there = f"{counted(found.wrong, 'thing')} to put right in it here: quoting check {found.job}"
    then = there if found.wrong else f"then: quoting price {found.job}"
    more = "\n".join(map(wrapped, (*looks, *(f"not there: {one}." for one in found.lacking))))
    return Answer("", (found.job, *found.beside), more="\n".join(filter(None, (more, then))))


@command()
def convert(
    job: Job, target: Annotated[Path, arg("FILE", "A new file: .xlsx to fill in, or .toml.")]
) -> Answer:
    """Write a job as a spreadsheet to fill in, or a spreadsheet as a job file.

    Nothing a job says is lost on the way; comments of your own in a job file are.
    """
    from quoting.runs.convert import convert as recipe

    recipe(job, target, tell)
    return Answer("", [target], next=("check", target))


@command("reading")
def check(job: Job, shop: Shop = None, setting: Settings = None) -> Answer:
    """List everything that is wrong in a job.

    Reads the job, the shop file and the price file, and writes nothing.
    """
    from quoting.runs.pricing import price as recipe
    from quoting.trades.registry import unusable

    found = recipe(job, shop, this_day(), setting or ())
    things, warnings = counted(len(found.buying), "thing"), counted(len(found.warnings), "warning")
    rows = [
        wrapped(
            f"{job.name}: {counted(len(found.lines), 'line')}, {things} to buy, {warnings}; nothing wrong."
        )
    ]
    rows += [wrapped(f"warning: {one.field}: {one.words}") for one in found.warnings]
    rows += [wrapped(f"not used: {name}: {one.found}; {one.write}.") for name, one in unusable().items()]
    return Answer("\n".join(rows), next=("price", job, *same(shop, setting)))


def house_of(shop: Path | None, near: Sequence[Path]) -> Path:
    """The shop folder: the one given, one of those near, else the one we are in or the one above."""
    from quoting.job.files import SHOP_FILE

    return here(shop or next((one for one in near if (one / SHOP_FILE).is_file()), None))
