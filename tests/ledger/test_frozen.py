"""Results are stored and read again as they were."""

from __future__ import annotations

import json
import shutil
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import is_dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, ClassVar, Literal, NamedTuple, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sharing import DAY

from quoting import runs
from quoting.errors import Problems
from quoting.job.form import form
from quoting.job.former import frozen_of_today
from quoting.job.starters import shipped
from quoting.ledger import frozen as ledger_files
from quoting.ledger.frozen import frozen, thawed
from quoting.ledger.store import reading
from quoting.pricing.record import Priced
from quoting.pricing.stored import records
from quoting.values import Uncertain

OLD_SHOP = Path(__file__).with_name("issued_before") / "shop"
OLD_RECORDS = 91  # kinds of records in the ledger of that shop
JOBS = sorted(Path(str(shipped("sample_jobs"))).glob("*/jobs/*.toml"))


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_a_price_comes_back_as_it_was(job: Path) -> None:
    price = runs.price(job, None, DAY)
    again: Priced = thawed(frozen(price, records()), records())
    assert again == price
    assert frozen(again, records()) == frozen(price, records())


def test_a_price_read_again_prints_the_same_pages() -> None:
    """The client's quote from frozen results is the quote from the files, byte for byte."""
    from quoting.documents.bench.sheet import maker_sheet_bytes
    from quoting.documents.quote.pdf import quote_bytes

    price = runs.price(JOBS[0], None, DAY)
    again: Priced = thawed(frozen(price, records()), records())
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
    again = thawed(frozen(value, records()), records())
    assert again == value
    assert repr(again) == repr(value)  # True is not 1, 1.0 not 1, and 2.50 not 2.5


def test_what_a_newer_version_wrote_is_refused_in_words() -> None:
    with pytest.raises(Problems, match="read them with the version that wrote them"):
        thawed(b'{"Planned": {"x": 1}}', records())
    with pytest.raises(Problems, match="read them with the version that wrote them"):
        thawed(b'{"Uncertain": {"low": 1, "likely": 1, "high": 1, "colour": "red"}}', records())


def test_what_has_no_place_in_a_record_is_not_stored() -> None:
    with pytest.raises(TypeError):
        frozen({"amount": object()}, records())
    with pytest.raises(TypeError):
        frozen((Decimal(1), {1, 2}), records())


# --- the words under which records stand


class Renamed(NamedTuple):
    """A record that once had another name."""

    words: str


def test_a_record_that_is_renamed_keeps_its_word() -> None:
    records = {"Former": Renamed}
    assert frozen(Renamed("as before"), records) == b'{"Former":{"words":"as before"}}'
    assert thawed(b'{"Former":{"words":"as before"}}', records) == Renamed("as before")


def test_a_record_without_a_word_is_not_stored() -> None:
    with pytest.raises(TypeError, match="Renamed"):
        frozen((Renamed("x"),), records())


def test_no_record_has_two_words() -> None:
    assert len(set(records().values())) == len(records())


def words_in(value: Any) -> Iterator[str]:
    """The words of the records in frozen results."""
    if isinstance(value, dict):
        yield from value.keys() & records().keys() if len(value) == 1 else ()
        value = list(value.values())
    for one in value if isinstance(value, list) else ():
        yield from words_in(one)


def test_what_an_old_ledger_holds_is_written_in_the_same_words_today(tmp_path: Path) -> None:
    """Every record of its prices and changes; that ledger holds all records that there were."""
    seen: set[str] = set()
    with reading(Path(shutil.copytree(OLD_SHOP, tmp_path / "shop"))) as book:
        for table, owner in (("quote_file", "quote"), ("change_file", "entry")):
            for (one,) in book.execute(f"SELECT DISTINCT {owner} FROM {table}").fetchall():
                for data in ledger_files.kept(book, table, one, ledger_files.RESULT).values():
                    then = Counter(words_in(json.loads(data)))
                    now = Counter(
                        words_in(
                            json.loads(frozen(thawed(data, records(), today=frozen_of_today), records()))
                        )
                    )
                    assert not then - now
                    seen |= set(then)
    assert len(seen) == OLD_RECORDS


NAMES = {
    "Mapping": Mapping,
    "date": date,
    "Decimal": Decimal,
    **{one.__name__: one for one in records().values()},
}
"""What annotations name that their modules import only for the type checker."""


def records_of(hint: Any, found: set[type]) -> None:
    """Add every record that a type can hold, and those in its fields; a record of any kind (Section[Any]) is the record."""
    hint = get_origin(hint) if is_dataclass(get_origin(hint)) else hint
    if isinstance(hint, type) and (is_dataclass(hint) or hasattr(hint, "_fields")):
        if hint not in found:
            found.add(hint)
            known = NAMES | vars(sys.modules[hint.__module__])  # two modules may each have a Section
            for one in get_type_hints(form(hint), None, known).values():
                records_of(one, found)
        return
    assert hint in PLAIN_TYPES or get_args(hint), f"{hint} has no place in frozen results"
    for one in get_args(hint) if get_origin(hint) is not Literal else ():
        records_of(one, found)


PLAIN_TYPES = (bool, int, float, str, date, Decimal, type(None), ..., ClassVar, Any)
"""Any: what an option sets and adds, as TOML has it."""


def test_every_record_of_a_price_has_a_word() -> None:
    """A name that is not found is a record that the table lacks."""
    found: set[type] = set()
    records_of(Priced, found)
    assert found == set(records().values())
