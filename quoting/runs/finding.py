"""Finding the job that a maker means by a name."""

from collections.abc import Iterator
from pathlib import Path

from quoting.errors import nearest, refused
from quoting.job.book_cells import SUFFIX
from quoting.job.files import SHOP_FILE
from quoting.ledger.quotes import is_number

JOBS = "jobs"
"""The folder of a shop that its jobs lie in."""

KINDS = (".toml", SUFFIX)


def job_file(named: Path, shop: Path | None) -> Path:
    """The job file that is meant by a name, as `job_named` finds it. A name that fits none is given back as it is where it is that of a file:
    whoever reads it tells. Raises Problems where several fit, or none does a bare word.
    """
    found = job_named(named, shop)
    if found is not None:
        return found
    if named.suffix or len(named.parts) != 1 or named.exists():
        return named
    known = [job.stem for job in jobs_near(named, shop)]
    wanted = nearest(named.name, known) if known else "write the name of its file"
    raise refused(
        "", f'found no job "{named.name}"', wanted, code="unknown_name", name=named.name, known=known
    )


def job_named(named: Path, shop: Path | None) -> Path | None:
    """The job file of a name, with or without its ending: the file itself, or one of that name in the folder, in its jobs, or in the jobs of
    the shop folder; None where there is none. Raises Problems where there are several.
    """
    if named.is_file():
        return named
    jobs = jobs_near(named, shop)
    meant = [job for job in jobs if named.name in (job.name, job.stem)]
    meant = meant or [job for job in jobs if _plain(named.name) in (_plain(job.name), _plain(job.stem))]
    if len(meant) > 1:
        found = f"found several jobs by that name: {', '.join(map(str, meant))}"
        known = [str(one) for one in meant]
        wanted = "write the one that you mean"
        raise refused("", found, wanted, str(named), code="unclear", name=named.name, known=known)
    return meant[0] if meant else None


def jobs_near(named: Path, shop: Path | None) -> list[Path]:
    """Every job file among which a name is looked for."""
    folders = _folders(named.parent, shop)
    return list(dict.fromkeys(job for folder in folders for job in _jobs_in(folder)))


def names_a_quote(named: str) -> bool:
    """True for what may name an issued quote, whole or by what its number ends with, and is no file."""
    return is_number(named) and not Path(named).exists()


def job_or_number(named: str, shop: Path | None) -> str:
    """What names an issued quote as it is, else the job file that is meant. Raises Problems as `job_file` does."""
    return named if names_a_quote(named) else str(job_file(Path(named), shop))


def _folders(folder: Path, shop: Path | None) -> Iterator[Path]:
    """Where a job may lie: the folder that is named, its jobs, those of the shop folder; none twice."""
    above = folder / ".."
    house = shop or next((one for one in (folder, above) if (one / SHOP_FILE).is_file()), folder)
    seen: set[Path] = set()
    for one in (folder, folder / JOBS, house / JOBS):
        if one.is_dir() and one.resolve() not in seen:
            seen.add(one.resolve())
            yield one


def _jobs_in(folder: Path) -> list[Path]:
    """Files that may be jobs, by name."""
    return sorted(one for one in folder.iterdir() if one.suffix.lower() in KINDS and one.name != SHOP_FILE)


def _plain(name: str) -> str:
    """A name as it is said: whatever stands between its words."""
    return name.casefold().replace("_", "-").replace(" ", "-")
