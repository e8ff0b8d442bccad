"""Results are stored and read again as they were."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting import runs
from quoting.errors import Problems
from quoting.ledger.frozen import frozen, thawed
from quoting.pricing.stored import RECORDS
from quoting.reading.starters import shipped
from quoting.values import Uncertain

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

JOBS = sorted(Path(str(shipped("sample_jobs"))).glob("*/jobs/*.toml"))


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_a_price_comes_back_as_it_was(job: Path) -> None:
    price = runs.price(job, None)
    again: Priced = thawed(frozen(price), RECORDS)
    assert again == price
    assert frozen(again) == frozen(price)


def test_a_price_read_again_prints_the_same_pages() -> None:
    """The client's quote from frozen results is the quote from the files, byte for byte."""
    from quoting.documents.bench.sheet import maker_sheet_bytes
    from quoting.documents.quote.pdf import quote_bytes

    price = runs.price(JOBS[0], None)
    again: Priced = thawed(frozen(price), RECORDS)
    assert quote_bytes(again)[0] == quote_bytes(price)[0]
    assert maker_sheet_bytes(again)[0] == maker_sheet_bytes(price)[0]


PLAIN: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text()
    | st.decimals(allow_nan=False, allow_infinity=False) | st.dates(date(1, 1, 1))
    | st.builds(Uncertain, *([st.floats(allow_nan=False)] * 3), st.text()),
    lambda inner: st.lists(inner) | st.lists(inner).map(tuple) | st.dictionaries(st.text(), inner)
    | st.dictionaries(st.floats(allow_nan=False), inner),
    max_leaves=12,
)  # fmt: skip


@given(value=PLAIN)
def test_nothing_is_lost_on_the_way(value: Any) -> None:
    again = thawed(frozen(value), RECORDS)
    assert again == value
    assert repr(again) == repr(value)  # True is not 1, 1.0 not 1, and 2.50 not 2.5


def test_what_a_newer_version_wrote_is_refused_in_words() -> None:
    with pytest.raises(Problems, match="read them with the version that wrote them"):
        thawed(b'{"Planned": {"x": 1}}', RECORDS)
    with pytest.raises(Problems, match="read them with the version that wrote them"):
        thawed(b'{"Uncertain": {"low": 1, "likely": 1, "high": 1, "colour": "red"}}', RECORDS)


def test_what_has_no_place_in_a_record_is_not_stored() -> None:
    with pytest.raises(TypeError):
        frozen({"amount": object()})
    with pytest.raises(TypeError):
        frozen((Decimal(1), {1, 2}))
