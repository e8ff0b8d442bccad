"""Commands that care for the ledger: a copy, a check, everything as plain files, and back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from quoting.cli.app import Folder, Out, app, tell
from quoting.errors import Exit

ledger = typer.Typer(
    help="Care for the ledger: check it, export it, restore it.", no_args_is_help=True, rich_markup_mode=None
)
app.add_typer(ledger, name="ledger")


@app.command()
def backup(out: Out = None, shop: Folder = None) -> None:
    """Copy the ledger, safely even while another terminal writes.

    Into the folder "backups" of the shop, or any other, under the moment's name.
    """
    from quoting.runs.shops import backup as run
    from quoting.runs.shops import shop_folder_here

    path, rows = run(shop_folder_here(shop), out)
    typer.echo(f"wrote {path} ({rows['quote']} quotes, {rows['entry']} entries)")


@ledger.command()
def check(shop: Folder = None) -> int:
    """Is everything in the ledger whole: pages, references, numbers, files, results."""
    from quoting.runs.shops import check as run
    from quoting.runs.shops import shop_folder_here

    faults, rows = run(shop_folder_here(shop))
    for fault in faults:
        typer.echo(fault)
    sound = f"{rows['quote']} quotes, {rows['entry']} entries, {rows['blob']} files"
    typer.echo(f"{sound}: {len(faults)} faults" if faults else f"{sound}: sound")
    return Exit.WRONG_FILES if faults else Exit.DONE


@ledger.command()
def export(
    out: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where to write.")],
    as_json: Annotated[bool, typer.Option("--json", help="One JSON file, not a table in CSV each.")] = False,
    shop: Folder = None,
) -> None:
    """Write everything in the ledger as plain files, from which it can be restored."""
    from quoting.runs.shops import export_all, shop_folder_here

    written = export_all(shop_folder_here(shop), out, as_json)
    typer.echo(f"wrote {len(written)} {'file' if len(written) == 1 else 'files'} to {out}")


@ledger.command()
def restore(
    source: Annotated[
        Path, typer.Argument(metavar="EXPORT", help="The folder or the JSON file of an export.")
    ],
    shop: Folder = None,
) -> None:
    """Make the ledger of a shop folder that has none from exported files."""
    from quoting.runs.shops import WAITING, shop_folder_here
    from quoting.runs.shops import restore as run

    rows = run(shop_folder_here(shop), source, lambda: tell(WAITING))
    typer.echo(f"restored {rows['quote']} quotes, {rows['entry']} entries, {rows['blob']} files")
