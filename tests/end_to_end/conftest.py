"""A shop as `start` makes it, and a copy of the sample jobs."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from end_to_end.command import done_well
from end_to_end.ledgers import make
from sharing import once

from quoting.job.starters import shipped


@pytest.fixture(scope="session")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that `quoting start` made; not to be changed."""
    return once(tmp_path_factory, "started", lambda folder: done_well("start", folder))


@pytest.fixture
def shop(started: Path, tmp_path: Path) -> Path:
    """A new shop of one's own."""
    return Path(shutil.copytree(started, tmp_path / "shop"))


@pytest.fixture
def bench(shop: Path) -> Path:
    """The first job of a new shop."""
    return shop / "jobs" / "first-bench.toml"


@pytest.fixture
def samples(tmp_path: Path) -> Path:
    """A copy of the sample jobs."""
    return Path(shutil.copytree(Path(str(shipped("sample_jobs"))), tmp_path / "samples"))


@pytest.fixture
def console(samples: Path) -> Path:
    """The sample job with every trade."""
    return samples / "tern_hollow" / "jobs" / "library_console.toml"


@pytest.fixture(scope="session")
def booked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample shop with its ledger; not to be changed."""
    return once(tmp_path_factory, "booked", make)


@pytest.fixture
def book(booked: Path, tmp_path: Path) -> Path:
    """A copy of the sample shop with its ledger."""
    return Path(shutil.copytree(booked, tmp_path / "book"))
