"""A day sheet says what a day was; a row is known by what it says."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.errors import Problem, Problems
from quoting.logbook.day_sheet import DAY_SHEET, Row, rows_of

HEAD = ",".join(DAY_SHEET)


def read(text: str, piece: str = "") -> list[Row]:
    """The rows of a file in which nothing is wrong."""
    problems: list[Problem] = []
    rows = rows_of(text, piece, problems)
    if problems:
        raise Problems(problems)
    return rows


def sayings(*rows: str, head: str = HEAD) -> list[list[tuple[str, str, str]]]:
    """Kind, value and words of what each row says."""
    return [
        [(one.kind, one.value, one.words) for one in row.sayings] for row in read("\n".join([head, *rows]))
    ]


def refused(*rows: str, head: str = HEAD) -> list[str]:
    with pytest.raises(Problems) as wrong:
        read("\n".join([head, *rows]))
    return [f"{one.line} {one}" for one in wrong.value.problems]


def test_a_row_of_the_day_sheet_is_hours_things_used_and_things_spoiled() -> None:
    found = sayings("2026-03-02,2026-001,bench,2 h,1 L resin; 3 cups,0.1 L resin,went well")
    assert found == [
        [
            ("hours", "2 h", "went well"),
            ("used", "1 L resin", ""),
            ("used", "3 cups", ""),
            ("spoiled", "0.1 L resin", ""),
        ]
    ]


def test_a_note_alone_is_a_note() -> None:
    assert sayings("2026-03-02,2026-001,,,,,the client called") == [[("note", "the client called", "")]]


def test_other_columns_say_the_kind_and_the_rest() -> None:
    found = read("date,piece,kind,value,for,quantity,about\n2026-03-02,2026-1,paid,20,oil,1 L,yes\n")
    (said,) = found[0].sayings
    assert (said.kind, said.value, said.of, said.quantity, said.about) == ("paid", "20", "oil", "1 L", True)


def test_a_piece_is_one_however_its_number_is_written() -> None:
    keys = {
        read(f"{HEAD}\n2026-03-02,{name},bench,2,,,\n")[0].key for name in ("2026-001", "2026-1", "2026-001b")
    }
    assert len(keys) == 1
    assert {read(f"{HEAD}\n2026-03-02,,bench,2,,,\n", "2026-1")[0].key} == keys


ROWS = st.lists(
    st.builds(
        "2026-03-0{},{},{},{},,,{}".format,
        st.integers(1, 2),
        st.sampled_from(["2026-001", "shop"]),
        st.sampled_from(["bench", "sanding"]),
        st.sampled_from(["2", "2.50", "0.5"]),
        st.sampled_from(["", "glued up"]),
    ),
    max_size=8,
)


@given(rows=ROWS, more=ROWS, data=st.data())
def test_a_sheet_that_grew_has_every_row_it_had_and_every_new_one_once(
    rows: list[str], more: list[str], data: st.DataObject
) -> None:
    """Wherever rows were added, and however many are alike."""
    grown = list(rows)
    for row in more:
        grown.insert(data.draw(st.integers(0, len(grown))), row)
    before, after = (
        {row.key for row in read("\n".join([HEAD, *some]))} if some else set() for some in (rows, grown)
    )
    assert before <= after
    assert (len(before), len(after)) == (len(rows), len(grown))


def test_what_a_spreadsheet_makes_of_numbers_as_it_saves_is_the_same_row() -> None:
    typed, saved = ("2026-03-02,2026-001,bench,2.50,,,", "2026-03-02,2026-001,bench,2.5,,,")
    (one,), (other,) = (read(f"{HEAD}\n{row}\n") for row in (typed, saved))
    assert (one.key, one.sayings[0].value) == (other.key, "2.50")
    assert one.former != other.former == other.key
    assert len({row.key for row in read("\n".join([HEAD, typed, saved]))}) == 2


def test_semicolons_between_columns_and_a_mark_of_utf8_are_taken() -> None:
    text = "\ufeff" + HEAD.replace(",", ";") + "\n2026-03-02;2026-001;bench;2;;;\n"
    assert read(text)[0].piece == "2026-001"


def test_empty_rows_and_remarks_are_passed_over() -> None:
    assert [row.line for row in read(f"# my notes\n{HEAD}\n\n,,,,,,\n2026-03-02,shop,x,1,,,\n")] == [5]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("2026-03-02,,bench,2,,,", "write a number such as 2027-014, or shop"),
        (",2026-001,bench,2,,,", "no date"),
        ("today,2026-001,bench,2,,,", "where a day such as"),
        ("2026-03-02,2026-001,bench,,,,", "nothing to log"),
        ("2026-03-02,2026-001,bench,2,,,a,b", "8 cells for 7 columns"),
        ('2026-03-02,2026-001,bench,2,,,"open', "write it as the header says"),
    ],
)
def test_a_row_that_says_too_little_or_too_much_is_told_by_its_line(row: str, words: str) -> None:
    (told,) = refused(row)
    assert told.startswith("2 ")
    assert words in told


def test_an_unknown_column_is_told_with_the_nearest() -> None:
    assert 'write "spoiled"' in refused("", head=HEAD.replace("spoiled", "spoilt"))[0]
    assert "twice" in refused("", head=HEAD + ",note")[0]
    assert "no column date" in refused("", head="piece,hours")[0]
    assert "no rows" in refused(head="")[0]


ROW = st.tuples(
    st.integers(1, 28), st.sampled_from(["bench", "office"]), st.integers(1, 9), st.sampled_from(["", "x"])
)


@given(rows=st.lists(ROW, max_size=12), more=st.lists(ROW, max_size=4))
def test_the_same_file_has_the_same_rows_and_a_longer_one_adds_to_them(
    rows: list[tuple[object, ...]], more: list[tuple[object, ...]]
) -> None:
    """Rows that are alike are told apart by their count, so that a sheet that grew adds only what is new."""

    def keys(given_rows: list[tuple[object, ...]]) -> list[str]:
        lines = [
            f"2026-03-{day:02},2026-001,{stage},{hours},,,{note}" for day, stage, hours, note in given_rows
        ]
        return [row.key for row in read("\n".join([HEAD, *lines]))]

    short, long = keys(rows), keys(rows + more)
    assert short == keys(rows)
    assert long[: len(short)] == short
    assert len(set(long)) == len(long)
    assert set(keys(list(reversed(rows)))) == set(short)
