"""Seats in a workshop that adds nothing of its own, priced by the command in process."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import pytest
from published_checks import helpers
from trades.upholstery.seats import PRICES, SHOP

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


@pytest.fixture
def price(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Callable[..., dict[str, Any]]:
    """`price(job)`: what the command prints as JSON."""
    return partial(helpers.priced_json, tmp_path, capsys, shop=SHOP, prices=PRICES)


@pytest.fixture
def refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """`refused(job)`: what the command says when it refuses."""
    return partial(helpers.refused, tmp_path, capsys, shop=SHOP, prices=PRICES)
