"""quoting calendar: the days of a build in words, and as a file that a reader of iCalendar understands."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import TYPE_CHECKING

from end_to_end.command import edited, quoting_run
from icalendar import Calendar
from sharing import DAY

from quoting.runs.pricing import calendar

if TYPE_CHECKING:
    from pathlib import Path

    from icalendar import Event


def events(folder: Path) -> list[Event]:
    [path] = folder.glob("*.ics")
    found = Calendar.from_ical(path.read_bytes())
    assert not found.errors
    return list(found.walk("VEVENT"))


def test_days_stand_in_words_and_in_the_file(console: Path, tmp_path: Path) -> None:
    """Every stage once; what is worked on fills the day, what cures leaves it free."""
    done = quoting_run("calendar", console, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    assert "inlay: 1 pour, cure 48" in done.stdout.replace("\u00a0", " ")
    said = {str(one["SUMMARY"]).partition(": ")[2]: one for one in events(tmp_path)}
    priced, _ = calendar(console, None, DAY, (), None, False)
    steps = {(one.kind, one.part) for one in priced.calendar[1:]}
    assert len(said) == len(steps)
    for name in said:
        assert name in done.stdout
    bench = next(one for name, one in said.items() if name.startswith("bench and desk"))
    pour = next(one for name, one in said.items() if name.startswith("inlay: 1 pour"))
    assert (bench["TRANSP"], pour["TRANSP"]) == ("OPAQUE", "TRANSPARENT")
    step = next(one for one in priced.calendar if one.kind == "pour")
    assert pour.start == step.first_day(priced.day)
    assert pour.end == step.last_day(priced.day)
    ready = said["ready"]
    assert ready.end - ready.start == timedelta(days=1)
    assert ready.start == priced.calendar[-1].last_day(priced.day)


def test_lines_are_as_the_standard_asks(console: Path, tmp_path: Path) -> None:
    """RFC 5545, 3.1: lines end in CRLF and are folded at 75 octets; 3.6: PRODID, VERSION, and UID and DTSTAMP of every event."""
    edited(
        console,
        'title = "Entrance console with a resin inlay"',
        'title = "Tisch; für, Ann\\\\a – ' + "sehr lang " * 12 + '"',
    )
    assert quoting_run("calendar", console, "--out", tmp_path).returncode == 0
    [path] = tmp_path.glob("*.ics")
    raw = path.read_bytes()
    assert raw.count(b"\n") == raw.count(b"\r\n")
    assert max(len(line) for line in raw.split(b"\r\n")) <= 75
    assert raw.startswith(b"BEGIN:VCALENDAR\r\n")
    assert all(word in raw for word in (b"PRODID:", b"VERSION:2.0"))
    found = events(tmp_path)
    assert len({str(one["UID"]) for one in found}) == len(found)
    assert all("DTSTAMP" in one for one in found)
    assert "für, Ann\\a" in str(found[0]["SUMMARY"])


def test_a_later_file_moves_the_same_events(console: Path, tmp_path: Path) -> None:
    """Another day of the order gives the same UIDs on other days; the same order the same bytes."""
    assert quoting_run("calendar", console, "--out", tmp_path / "one").returncode == 0
    assert quoting_run("calendar", console, "--out", tmp_path / "two").returncode == 0
    first, again = (next((tmp_path / name).glob("*.ics")).read_bytes() for name in ("one", "two"))
    assert first == again
    before = {str(one["UID"]): one.start for one in events(tmp_path / "one")}
    text = console.read_text("utf-8")
    day = date.fromisoformat(re.search(r"date = (\d{4}-\d\d-\d\d)", text)[1])  # type: ignore[index]
    edited(console, f"date = {day}", f"date = {day + timedelta(days=7)}")
    assert quoting_run("calendar", console, "--out", tmp_path / "later").returncode == 0
    after = {str(one["UID"]): one.start for one in events(tmp_path / "later")}
    assert after == {uid: start + timedelta(days=7) for uid, start in before.items()}
