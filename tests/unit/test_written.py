"""Writing files: all or none, and never over somebody's changes."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from quoting.errors import Problems
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Callable

OLD = {"a.pdf": b"old a", "b.xlsx": b"old b"}
NEW = {"a.pdf": b"new a, and longer", "b.xlsx": b"new b, and longer"}


def contents(folder: Path) -> dict[str, bytes]:
    """The files that were asked for; the folder holds no other but the record of what was written."""
    found = {path.name: path.read_bytes() for path in folder.iterdir()}
    found.pop(".quoting-written.json", None)
    return found


def test_files_are_written_and_named(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "folder"
    assert write_all(folder, OLD, "bench.toml", False) == [folder / "a.pdf", folder / "b.xlsx"]
    assert contents(folder) == OLD


def test_own_files_are_written_over(tmp_path: Path) -> None:
    write_all(tmp_path, OLD, "bench.toml", False)
    write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == NEW


def test_other_files_in_the_folder_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_bytes(b"mine")
    write_all(tmp_path, OLD, "bench.toml", False)
    assert contents(tmp_path) == {**OLD, "mine.txt": b"mine"}


def test_files_can_be_read_by_others(tmp_path: Path) -> None:
    write_all(tmp_path, OLD, "bench.toml", False)
    assert {(tmp_path / name).stat().st_mode & 0o777 for name in OLD} == {0o644}


def test_a_changed_file_stops_the_writing_of_all(tmp_path: Path) -> None:
    write_all(tmp_path, OLD, "bench.toml", False)
    (tmp_path / "b.xlsx").write_bytes(b"mine")
    with pytest.raises(Problems, match=r"b\.xlsx: found a file that was changed") as wrong:
        write_all(tmp_path, NEW, "bench.toml", False)
    assert [problem.file for problem in wrong.value.problems] == ["b.xlsx"]
    assert contents(tmp_path) == {**OLD, "b.xlsx": b"mine"}


def test_a_file_that_was_there_before_is_somebody_s(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"mine")
    with pytest.raises(Problems):
        write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == {"a.pdf": b"mine"}
    write_all(tmp_path, NEW, "bench.toml", True)
    assert contents(tmp_path) == NEW


def test_a_file_that_was_removed_is_written_again(tmp_path: Path) -> None:
    write_all(tmp_path, OLD, "bench.toml", False)
    (tmp_path / "a.pdf").unlink()
    write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == NEW


@pytest.mark.parametrize("record", [b"", b"no json", b"[1, 2]", b'{"a.pdf": 3}', b"\xff\xfe"])
def test_a_spoilt_record_makes_every_file_somebody_s(record: bytes, tmp_path: Path) -> None:
    write_all(tmp_path, OLD, "bench.toml", False)
    (tmp_path / ".quoting-written.json").write_bytes(record)
    with pytest.raises(Problems):
        write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == OLD


def failing(real: Callable[..., Any], call: int, error: BaseException) -> Callable[..., Any]:
    """A function that does what the real one does, but for one call."""
    calls = 0

    def stand_in(*arguments: Any, **named: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == call:
            raise error
        return real(*arguments, **named)

    return stand_in


@pytest.mark.parametrize("call", [1, 2, 3])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_disk_that_fills_up_leaves_the_old_files(
    call: int, error: BaseException, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_all(tmp_path, OLD, "bench.toml", False)
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", failing(os.fsync, call, error))
        with pytest.raises(type(error)):
            write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == OLD
    write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == NEW


@pytest.mark.parametrize("call", [1, 2, 3])
@pytest.mark.parametrize("error", [OSError(13, "Permission denied"), KeyboardInterrupt()])
def test_a_failure_between_two_files_leaves_the_old_ones(
    call: int, error: BaseException, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One file may be open in another program: then the other is not new either, and a next run may write."""
    write_all(tmp_path, OLD, "bench.toml", False)
    with monkeypatch.context() as patch:
        real = Path.replace
        patch.setattr(Path, "replace", failing(real, call, error))
        with pytest.raises(type(error)):
            write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) in (OLD, NEW)
    write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == NEW


def test_a_first_writing_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", failing(os.fsync, 2, OSError(28, "No space left on device")))
        with pytest.raises(OSError, match="No space left"):
            write_all(tmp_path, NEW, "bench.toml", False)
    assert contents(tmp_path) == {}
