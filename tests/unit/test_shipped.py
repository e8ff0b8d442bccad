"""The starter values that every shop file stands on."""

from __future__ import annotations

from copy import deepcopy

from quoting.job.starters import with_defaults


def test_a_change_to_one_shop_changes_no_other() -> None:
    first = with_defaults({})
    before = deepcopy(first)
    first["timber"]["waste"] = "0 %"
    first["timber"].clear()
    assert with_defaults({}) == before
