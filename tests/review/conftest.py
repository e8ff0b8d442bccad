"""Two priced samples with their briefs, and properties that are judged by their result alone."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest
from hypothesis import settings
from sharing import DAY

from quoting import runs
from quoting.job.load import load
from quoting.job.starters import shipped

if TYPE_CHECKING:
    from quoting.job.brief import Brief
    from quoting.pricing.record import Priced

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

JOBS = Path(str(shipped("sample_jobs"))) / "tern_hollow" / "jobs"


class Sample(NamedTuple):
    """A job as it was priced, and its brief."""

    plan: Priced
    brief: Brief


@cache
def sample(name: str) -> Sample:
    return Sample(runs.price(JOBS / f"{name}.toml", None, DAY), load(JOBS / f"{name}.toml"))


@pytest.fixture(scope="session")
def lectern() -> Sample:
    """A laminate on ash, with a setback and a trip."""
    return sample("lectern")


@pytest.fixture(scope="session")
def console() -> Sample:
    """The sample with every trade."""
    return sample("library_console")
