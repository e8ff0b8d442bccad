"""Every field of every sample and template changed once: that value differs, and every other sign is alike."""

from __future__ import annotations

import copy
import tomllib
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import pytest
from edit.files import FILES, NAMES, WAYS, changed, lf, paths, put_at, shown_fields
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from quoting.errors import Reading
from quoting.reading.blocks import blocks, with_part, with_part_copied, with_part_moved, without_part
from quoting.reading.scan import scan
from quoting.reading.splice import tables_of, toml_key, toml_value, with_value, within, without

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

HOSTILE = 'a "quoted" \\ back\nline # no comment\t\x7f\x00 ] } = [[x]] \'\'\' """'
CHECKS = settings(deadline=None, database=None, derandomize=True, max_examples=60)

DAILY = {"jobs/ash_bench.toml": WAYS, "tern_hollow_overseas/shop.toml": WAYS}
"""Files of which every day all ways are tried; of the others as they are."""

CASES = [
    pytest.param(
        file,
        way,
        id=f"{name}-{way.__name__}",
        marks=[] if way in DAILY.get(name, [lf]) else pytest.mark.exhaustive,
    )
    for file, name in zip(FILES, NAMES, strict=True)
    for way in WAYS
]
every_file = pytest.mark.parametrize(("file", "way"), CASES)


def alike(value: Any) -> str:
    """A value so that those of different kinds differ."""
    return repr(value)


@every_file
def test_every_value_is_replaced_alone(file: Path, way: Callable[[str], str]) -> None:
    """In its place: what was taken out is the old value, what was put in the new one."""
    text = way(file.read_text("utf-8"))
    raw = tables_of(text)
    for path in paths(raw):
        after = with_value(text, path, toml_value(HOSTILE))
        assert tables_of(after) == put_at(raw, path, HOSTILE), path
        out, into = changed(text, after)
        assert out in text[slice(*scan(text).values[path])]
        assert into in toml_value(HOSTILE)


@every_file
def test_every_field_that_is_shown_is_put_in_force(file: Path, way: Callable[[str], str]) -> None:
    """The number sign goes, the value of the example is replaced; no line is added and no comment lost."""
    text = way(file.read_text("utf-8"))
    raw = tables_of(text)
    for path in shown_fields(text):
        after = with_value(text, path, '"mine"')
        assert tables_of(after) == put_at(raw, path, "mine"), path
        both = zip(text.splitlines(), after.splitlines(), strict=True)
        ((old, new),) = [(one, other) for one, other in both if one != other]
        written = f'{path[-1]} = "mine"'
        assert old.startswith((f"#{path[-1]} = ", f"# e.g. {path[-1]} = "))
        assert new.startswith(written)
        assert old.endswith(new.removeprefix(written))


@every_file
def test_every_field_is_taken_out_alone(file: Path, way: Callable[[str], str]) -> None:
    """Its line and the comment at the end of it; of a table between braces, it and its comma."""
    text = way(file.read_text("utf-8"))
    raw = tables_of(text)
    found = scan(text)
    for entry in found.entries:
        after = without(text, entry.path)
        wanted = copy.deepcopy(raw)
        parent = within(wanted, entry.path[:-1])
        del parent[entry.path[-1]]
        if not parent and entry.table != entry.path[:-1]:
            del within(wanted, entry.path[:-2])[entry.path[-2]]
        assert tables_of(after) == wanted, entry.path
        start, end = found.line(entry.key)[0], found.line(entry.end)[1]
        assert entry.inline or after == text[:start] + text[end:]


@every_file
def test_a_new_field_stands_below_the_last_of_its_table(file: Path, way: Callable[[str], str]) -> None:
    """And never below a comment: the line above it holds a field or the header of the table."""
    text = way(file.read_text("utf-8"))
    raw = tables_of(text)
    for header in scan(text).headers:
        path = (*header.path, "a new field")
        after = with_value(text, path, "1")
        assert tables_of(after) == put_at(raw, path, 1)
        lines = after.splitlines()
        above = lines[lines.index('"a new field" = 1') - 1]
        assert above and not above.startswith("#")
        assert [one for one in lines if one != '"a new field" = 1'] == text.splitlines()


@every_file
def test_parts_are_added_moved_copied_and_taken_out(file: Path, way: Callable[[str], str]) -> None:
    """By their lines: what is left stands in its order, and what was moved is all there."""
    text = way(file.read_text("utf-8"))
    raw = tables_of(text)
    lines = [one for one in text.splitlines() if one]
    for trade in [name for name, value in raw.items() if isinstance(value, list)]:
        count = len(raw[trade])
        new = {"part": HOSTILE, "odd key": [1, {"a": True}]}
        added = with_part(text, trade, new)
        assert tables_of(added) == {**raw, trade: [*raw[trade], new]}
        assert changed(text, added)[0] == ""
        for i in range(count):
            gone = without_part(text, trade, i)
            rest = [one for j, one in enumerate(raw[trade]) if j != i]
            assert tables_of(gone).get(trade, []) == rest
            copied = with_part_copied(text, trade, i)
            assert tables_of(copied)[trade] == [*raw[trade][: i + 1], *raw[trade][i:]]
            for to in range(count):
                moved = with_part_moved(text, trade, i, to)
                assert tables_of(moved)[trade] == [*rest[:to], raw[trade][i], *rest[to:]]
                assert sorted(one for one in moved.splitlines() if one) == sorted(lines)
                block = blocks(scan(text), trade)[i]
                assert text[block.start : block.end].rstrip("\r\n") in moved


def test_comments_stay_with_what_they_are_about() -> None:
    """Words right above a part belong to it; lines that show its fields do; words further off do not."""
    text = (
        '# about jobs\n\n# about seats\n[[hardwood]] # one\npart = "seat"\n#waste = "5 %"\n# a knot\n\n'
        '# free\n\n# about legs\n[[hardwood]]\npart = "leg" # four\n[[buy]]\nitem = "pads"\n'
    )
    assert without_part(text, "hardwood", 0) == (
        '# about jobs\n\n# free\n\n# about legs\n[[hardwood]]\npart = "leg" # four\n[[buy]]\nitem = "pads"\n'
    )
    assert without_part(text, "hardwood", 1) == (
        '# about jobs\n\n# about seats\n[[hardwood]] # one\npart = "seat"\n#waste = "5 %"\n# a knot\n\n# free\n\n[[buy]]\nitem = "pads"\n'
    )
    assert with_part_moved(text, "hardwood", 1, 0).startswith(
        '# about jobs\n\n# about legs\n[[hardwood]]\npart = "leg" # four\n\n# about seats\n[[hardwood]] # one\n'
    )
    assert with_part_copied(text, "hardwood", 0).count("# a knot") == 1


@pytest.mark.parametrize(
    ("text", "path", "value", "after"),
    [
        ("", ("a",), "1", "a = 1\n"),
        ("\ufeff# head", ("a",), "1", "\ufeffa = 1\n# head"),
        ("a = 1", ("b",), "2", "a = 1\nb = 2"),
        ("a = 1\r\n", ("b", "c"), "2", "a = 1\r\n\r\n[b]\r\nc = 2\r\n"),
        ("  a = 1 # one\n\n# next\n[b]\n", ("c",), "2", "  a = 1 # one\n  c = 2\n\n# next\n[b]\n"),
        ("b.c = 1\n", ("b", "d"), "2", "b.c = 1\nb.d = 2\n"),
        ("b = { c = 1 }\n", ("b", "d"), "2", "b = { c = 1, d = 2 }\n"),
        ("b = {}\n", ("b", "d"), "2", "b = { d = 2 }\n"),
        ("[[p]]\na = 1\n[[p]]\na = 2\n", ("p", 0, "s", "t"), "3", "[[p]]\na = 1\ns.t = 3\n[[p]]\na = 2\n"),
        ("a = '''\n#b = 1\n[c]\n'''\n", ("b",), "2", "a = '''\n#b = 1\n[c]\n'''\nb = 2\n"),
        ("#[b]\n#c = 1 # one\n", ("b", "c"), "2", "[b]\nc = 2 # one\n"),
        ('[b]\n#"c d" = 1\n', ("b", "c d"), "2", '[b]\n"c d" = 2\n'),
        ("[b]\n# c = 1 in words\n", ("b", "c"), "2", "[b]\nc = 2\n# c = 1 in words\n"),
        ("day = 1979-05-27 07:32:00 # then\n", ("day",), "2", "day = 2 # then\n"),
        ('a = [1, # one\n  { b = "]" }, ]\n', ("a", 1, "b"), "2", "a = [1, # one\n  { b = 2 }, ]\n"),
        ('a = """x""""" # end\n', ("a",), "2", "a = 2 # end\n"),
    ],
)
def test_where_a_value_goes(text: str, path: Any, value: str, after: str) -> None:
    """Odd files that TOML allows, one by one."""
    assert with_value(text, path, value) == after


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("[a]\nb = 1\n[a.c]\nd = 1\n", ("a",)),  # a table of its own
        ("[a]\nb = 1\n[a.c]\nd = 1\n", ("a", "c")),
        ("[[p]]\na = 1\n", ("p",)),
        ("a = 1\n", ("a", "b")),  # below what is no table
        ("[[p]]\na = 1\n", ("p", 4, "a")),
    ],
)
def test_what_cannot_be_proven_is_refused(text: str, path: Any) -> None:
    """Nothing is guessed."""
    with pytest.raises(Reading):
        with_value(text, path, "2")


def test_parts_written_in_one_list_or_apart_are_refused() -> None:
    """They have no lines of their own to be moved."""
    with pytest.raises(Reading, match="in one list"):
        without_part("p = [ { a = 1 }, { a = 2 } ]\n", "p", 0)
    with pytest.raises(Reading, match="several places"):
        without_part("[[p]]\na = 1\n[b]\n[[p.s]]\nc = 1\n", "p", 0)


# Documents at random: keys, values and comments as makers and programs write them.

NAME = st.one_of(st.sampled_from(["a", "b-2", "c_d", "7"]), st.text(alphabet=" .#=[]\"'\\ä\n", max_size=4))
TEXT = st.text(alphabet="ab #\"'\\\n\t]}={,.é😀", max_size=8)
PLAIN = st.one_of(
    TEXT,
    st.integers(-9, 10**6),
    st.booleans(),
    st.floats(allow_nan=False),
    st.dates(),
    st.datetimes().map(lambda one: one.replace(microsecond=0, fold=0)),
)
VALUE = st.recursive(
    PLAIN,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(NAME, inner, max_size=3)),
    max_leaves=5,
)
COMMENT = st.sampled_from(["", " # words", "#x = 1", " # [a] 'b\" ]"])
ALONE = st.sampled_from(["", "", "# words", "#[a]", "#a = 1", "#[[p]]", "  # \"\"\" '''"])


@st.composite
def written(draw: st.DrawFn, value: Any) -> str:
    """A value in one of the ways that TOML has for it."""
    if isinstance(value, str):
        ways = [toml_value(value)]
        if "'" not in value and "\n" not in value:
            ways.append(f"'{value}'")
        if "'''" not in value and not value.endswith("'"):
            ways.append(f"'''\n{value}'''")
        ways.append(
            '"""\n'
            + value.replace("\\", "\\\\").replace('"""', '""\\"')
            + ('\\\n  """' if not value.endswith('"') else '\\u0022"""')
        )
        found = draw(st.sampled_from(ways))
        return toml_value(value) if tomllib.loads(f"v = {found}")["v"] != value else found
    if isinstance(value, list):
        gap = draw(st.sampled_from(["", " ", "\n  ", ' # ] " no end\n']))
        inner = "".join(f"{gap}{draw(written(one))}{gap}," for one in value)
        return f"[{inner}{gap}]"
    return toml_value(value)


@st.composite
def documents(draw: st.DrawFn) -> str:
    """A document of TOML with keys at its head, tables and lists of tables."""
    lines: list[str] = []
    heads = [
        "",
        *draw(
            st.lists(st.sampled_from(["[t]", "[t.u]", '["q q".x]', "[[p]]", "[[p.s]]", "[p.w]"]), max_size=6)
        ),
    ]
    for head in heads:
        lines += [draw(ALONE), f"{head}{draw(COMMENT)}"] if head else []
        for name, value in draw(st.dictionaries(NAME, VALUE, max_size=3)).items():
            key = toml_key(name) + draw(st.sampled_from(["", "", " . k"]))
            gap = draw(st.sampled_from(["", " ", "\t"]))
            lines.append(f"{gap}{key}{gap}={gap}{draw(written(value))}{draw(COMMENT)}")
            lines.append(draw(ALONE))
    text = "\n".join(lines) + draw(st.sampled_from(["", "\n"]))
    text = draw(st.sampled_from(WAYS))(text)
    try:
        tables_of(text)
    except tomllib.TOMLDecodeError:
        assume(False)
    return text


@CHECKS
@given(documents(), st.data())
def test_documents_at_random(text: str, data: st.DataObject) -> None:
    _edits_stand_alone(text, data.draw(VALUE))


@pytest.mark.exhaustive
@settings(CHECKS, max_examples=2_000)
@given(documents(), st.data())
def test_many_documents_at_random(text: str, data: st.DataObject) -> None:
    _edits_stand_alone(text, data.draw(VALUE))


def _edits_stand_alone(text: str, value: Any) -> None:
    """Every value is found where it stands; what is replaced, put in, taken out or moved is the only thing that differs, or it is refused."""
    raw, found = tables_of(text), scan(text)
    for path, (start, end) in found.values.items():
        assert alike(tables_of(f"v = {text[start:end]}")["v"]) == alike(within(raw, path))
    assert set(paths(raw)) <= set(found.values)
    for path in paths(raw):
        start, end = found.values[path]
        after = with_value(text, path, toml_value(value))
        assert after == text[:start] + toml_value(value) + text[end:]
        assert says(after, put_at(raw, path, value))
    for entry in found.entries:
        fresh = (*entry.path[:-1], "fresh")
        with suppress(Reading):
            assert says(with_value(text, fresh, toml_value(value)), put_at(raw, fresh, value))
        with suppress(Reading):
            gone = without(text, entry.path)
            start, end = found.line(entry.key)[0], found.line(entry.end)[1]
            assert entry.inline or gone == text[:start] + text[end:]
            assert [path for path in paths(raw) if path[: len(entry.path)] != entry.path] == [
                *paths(tables_of(gone))
            ]
    parts = raw.get("p") if isinstance(raw.get("p"), list) else []
    for i, part in enumerate(parts):
        rest = [*parts[:i], *parts[i + 1 :]]
        with suppress(Reading):
            assert says(
                without_part(text, "p", i),
                {**raw, "p": rest} if rest else {k: v for k, v in raw.items() if k != "p"},
            )
        with suppress(Reading):
            assert says(with_part_copied(text, "p", i), {**raw, "p": [*parts[: i + 1], *parts[i:]]})
        for to in range(len(parts)):
            with suppress(Reading):
                moved = with_part_moved(text, "p", i, to)
                assert says(moved, {**raw, "p": [*rest[:to], part, *rest[to:]]})
                assert lines_of(moved) == lines_of(text)


def lines_of(text: str) -> list[str]:
    """All lines that hold something, whatever their order; without the mark at the head of the file."""
    return sorted(filter(str.strip, text.removeprefix("\ufeff").splitlines()))


def says(text: str, raw: Any) -> bool:
    """True where a text says just this, kinds of values included."""
    return alike(dict_sorted(tables_of(text))) == alike(dict_sorted(raw))


def dict_sorted(value: Any) -> Any:
    """Tables by name, for the order of keys says nothing."""
    if isinstance(value, dict):
        return {name: dict_sorted(value[name]) for name in sorted(value)}
    return [dict_sorted(one) for one in value] if isinstance(value, list) else value
