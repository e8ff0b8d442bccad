"""Commands that help to decide: how sure a price is, how far to deliver, which version, through which channel."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from quoting.cli.app import Job, Json, Overwrite, Settings, ShopFolder, app, status, tell
from quoting.cli.progress import progress

Pictures = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--out", metavar="FOLDER", help="Write the picture there, as SVG and PNG."),
]
Draws = Annotated[
    Optional[int],  # noqa: UP045
    typer.Option("--draws", metavar="COUNT", help="How many builds to draw [default: as job and shop say]."),
]
Seed = Annotated[
    Optional[int],  # noqa: UP045
    typer.Option(
        "--seed", metavar="NUMBER", help="The same seed draws the same builds [default: as job and shop say]."
    ),
]


@app.command()
def risk(
    job: Job,
    shop: ShopFolder = None,
    setting: Settings = None,
    draws: Draws = None,
    seed: Seed = None,
    out: Pictures = None,
    overwrite: Overwrite = False,
    as_json: Json = False,
) -> int:
    """Say how sure a price is: draw the whole build many times.

    What 8 in 10 builds cost, the chance that the price loses money, and what moves the cost most.
    """
    from quoting.cli import deciding_data, risk_text
    from quoting.runs.risk import risk as recipe

    progress("drawing")
    found = recipe(job, shop, setting or (), draws, seed, out, overwrite)
    progress("")
    words = deciding_data.risk_json if as_json else risk_text.risk_text
    typer.echo(words(found.priced, found.outlook))
    for path in found.written:
        typer.echo(f"wrote {path}", err=as_json)
    return status(found.priced.policies_broken, strict=False)


@app.command()
def pictures(
    job: Job,
    out: Annotated[
        Path,
        typer.Option("--out", metavar="FOLDER", help="Where to write, as SVG, PNG and pages of a PDF."),
    ],
    shop: ShopFolder = None,
    setting: Settings = None,
    overwrite: Overwrite = False,
) -> None:
    """Draw every picture of a job.

    What it costs, how the price comes about, how sure it is, how far it goes, how it is built, cut, and when.
    """
    from quoting.runs.pictures import pictures as recipe

    written = recipe(job, shop, setting or (), out, overwrite, progress, tell)
    progress("")
    for path in written:
        typer.echo(f"wrote {path}")


@app.command()
def reach(
    job: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Argument(metavar="[JOB]", help="The job file; or none, with --price and --cost."),
    ] = None,
    shop: ShopFolder = None,
    setting: Settings = None,
    price: Annotated[
        str,
        typer.Option("--price", metavar="P", help="Another price than the job's, as you show your prices."),
    ] = "",
    cost: Annotated[
        str,
        typer.Option(
            "--cost", metavar="C", help="Without a job: what the piece costs, its delivery left out."
        ),
    ] = "",
    to: Annotated[
        str, typer.Option("--to", metavar="PLACE", help='A place: "latitude, longitude", or a ZIP code.')
    ] = "",
    road: Annotated[
        str, typer.Option("--road", metavar="DISTANCE", help='A distance by road: "45 mi".')
    ] = "",
    carrier: Annotated[
        str,
        typer.Option("--carrier", metavar="P", help="What a carrier asks, to compare with your own trip."),
    ] = "",
    out: Pictures = None,
    overwrite: Overwrite = False,
    as_json: Json = False,
) -> int:
    """Say how far a piece can be delivered free, and with which surcharge beyond.

    By distance; with one more helper, with a hired van, by a carrier.
    """
    from quoting.cli import deciding_data, reach_text
    from quoting.runs.reach import Asked
    from quoting.runs.reach import reach as recipe

    progress("drawing")
    found = recipe(job, shop, setting or (), Asked(price, cost, to, road, carrier, overwrite), out)
    progress("")
    typer.echo(deciding_data.reach_json(found) if as_json else reach_text.reach_text(found))
    for path in found.written:
        typer.echo(f"wrote {path}", err=as_json)
    return status(found.policies_broken, strict=False)


@app.command()
def compare(
    jobs: Annotated[
        list[Path], typer.Argument(metavar="JOB...", help="One job with its options, or several jobs.")
    ],
    shop: ShopFolder = None,
    setting: Settings = None,
    column: Annotated[
        Optional[list[str]],  # noqa: UP045
        typer.Option(
            "--or",
            metavar="PATH=VALUE",
            help='A column of its own: --or glass.top.treatment=annealed; several values with "; " between them.',
        ),
    ] = None,
    as_json: Json = False,
) -> int:
    """Set versions of a piece side by side.

    The options of a job, values tried in columns of their own, or several jobs; marks what differs more than is unsure.
    """
    from quoting.cli import compare_text, deciding_data
    from quoting.runs.risk import compare as recipe

    progress("comparing")
    found = recipe(jobs, shop, setting or (), column or ())
    progress("")
    typer.echo(deciding_data.compare_json(found) if as_json else compare_text.compare_text(found))
    broken = (code for one in found.versions for code in one.priced.policies_broken)
    return status(tuple(broken), strict=False)


@app.command()
def sell(
    piece: Annotated[
        str,
        typer.Argument(
            metavar="JOB|NUMBER", help="A job file, or an issued quote: then what really happened counts."
        ),
    ],
    shop: ShopFolder = None,
    setting: Settings = None,
    price: Annotated[
        str, typer.Option("--price", metavar="P", help="What is left of this price, as you show your prices?")
    ] = "",
    channel: Annotated[
        str,
        typer.Option(
            "--channel", metavar="NAME", help="The channel the first figures speak of [default: the job's]."
        ),
    ] = "",
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(
            "--out", metavar="FOLDER", help="Write a price card (PDF) and an offer record (JSON-LD) there."
        ),
    ] = None,
    overwrite: Overwrite = False,
    as_json: Json = False,
) -> None:
    """Say what a finished or planned piece can be sold for.

    Still to spend, spent, cost, target price; then list price, price at the floor and room to haggle through each channel.
    """
    from quoting.cli import deciding_data, sell_text
    from quoting.runs.sell import Asked
    from quoting.runs.sell import sell as recipe

    progress("pricing")
    found = recipe(piece, shop, setting or (), Asked(price, channel, out, overwrite))
    progress("")
    typer.echo(deciding_data.sell_json(found) if as_json else sell_text.sell_text(found))
    for path in found.written:
        typer.echo(f"wrote {path}", err=as_json)
