"""Two samples with laminates: one that is ordered, one in the middle of its build."""

from __future__ import annotations

import pytest
from hypothesis import settings
from review.conftest import Sample, sample

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


@pytest.fixture(scope="session")
def front() -> Sample:
    """A laminate in six rounds, edged with ash."""
    return sample("counter_front")


@pytest.fixture(scope="session")
def console() -> Sample:
    """The sample with every trade."""
    return sample("library_console")
