"""Two priced samples with a log, and properties that are judged by their result alone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings
from sharing import DAY

from quoting import runs
from quoting.job.starters import shipped

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

JOBS = Path(str(shipped("sample_jobs"))) / "tern_hollow" / "jobs"


@pytest.fixture(scope="session")
def lectern() -> Priced:
    """A laminate on ash, ordered; taxed on top, fees on the total."""
    return runs.price(JOBS / "lectern.toml", None, DAY)


@pytest.fixture(scope="session")
def console() -> Priced:
    """The sample with every trade."""
    return runs.price(JOBS / "library_console.toml", None, DAY)
