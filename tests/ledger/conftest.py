"""Shop folders with a ledger."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from end_to_end.command import done_well
from sharing import once

from quoting.job.starters import shipped


@pytest.fixture
def samples(tmp_path: Path) -> Path:
    """A shop folder of the samples, without a ledger."""
    return Path(shutil.copytree(Path(str(shipped("sample_jobs"))) / "tern_hollow", tmp_path / "tern_hollow"))


@pytest.fixture(scope="session")
def once_issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop of the samples after one quote, 2027-001; not to be changed."""

    def issue(folder: Path) -> None:
        shutil.copytree(Path(str(shipped("sample_jobs"))) / "tern_hollow", folder)
        done_well("issue", folder / "jobs" / "ash_bench.toml")

    return once(tmp_path_factory, "issued", issue)


@pytest.fixture
def issued(once_issued: Path, tmp_path: Path) -> Path:
    """A shop of one's own with one quote, 2027-001."""
    return Path(shutil.copytree(once_issued, tmp_path / "issued shop"))
