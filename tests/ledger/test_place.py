"""A ledger lies on a disk of this machine; in a synced folder it is told so."""

from __future__ import annotations

from pathlib import Path

import pytest
from end_to_end.command import contents, quoting_run

from quoting.__main__ import run
from quoting.errors import Problems
from quoting.ledger import sound
from quoting.ledger.sound import network_kind, refuse_network, synced_by
from quoting.ledger.store import LEDGER_FILE

DISK = "/dev/vda / ext4 rw,relatime 0 0\nproc /proc proc rw 0 0\n"
MOUNTS = DISK + (
    "nas:/export /mnt/nas nfs4 rw,vers=4.2 0 0\n"
    "//nas/work /mnt/work\\040of\\040mine cifs rw 0 0\n"
    "me@host:/home /home/me/far fuse.sshfs rw 0 0\n"
    "/dev/vdb /mnt/nas/local ext4 rw 0 0\n"
    "nas:/more /mnt/nas/local/again nfs rw 0 0\n"
    "nas:/odd /mnt/a\\134b nfs4 rw 0 0\n"
    "gvfsd-fuse /run/user/1000/gvfs fuse.gvfsd-fuse rw 0 0\n"
    "a line of two\n"
    "\n"
)
"""A mount table as in proc(5): blanks and backslashes of a path are octal."""


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/home/me/shop", ""),
        ("/", ""),
        ("/mnt", ""),
        ("/mnt/nas", "nfs4"),
        ("/mnt/nas/shop", "nfs4"),
        ("/mnt/nas2/shop", ""),
        ("/mnt/nas/local/shop", ""),
        ("/mnt/nas/local/again/shop", "nfs"),
        ("/mnt/work of mine/shop", "cifs"),
        ("/mnt/work", ""),
        ("/home/me/far/shop", "fuse.sshfs"),
        ("/mnt/a\\b/shop", "nfs4"),
        ("/run/user/1000/gvfs/smb-share:server=nas,share=work/shop", "fuse.gvfsd-fuse"),
        ("\\\\nas\\work\\shop", "a path of another machine"),
        ("//nas/work/shop", "a path of another machine"),
    ],
)
def test_the_innermost_mount_says_whether_a_folder_is_on_another_machine(folder: str, kind: str) -> None:
    assert network_kind(Path(folder), MOUNTS) == kind


def test_of_two_mounts_at_one_place_the_later_one_counts() -> None:
    local, far = "/dev/vdb /mnt/x ext4 rw 0 0\n", "nas:/x /mnt/x nfs4 rw 0 0\n"
    assert network_kind(Path("/mnt/x/shop"), local + far) == "nfs4"
    assert network_kind(Path("/mnt/x/shop"), far + local) == ""


def test_a_drive_letter_that_stands_for_another_machine_is_known() -> None:
    table = "share Z:\\ smb"  # as `_windows_drives` writes it
    assert network_kind(Path("Z:\\shop"), table) == "smb"
    assert network_kind(Path("Z:\\"), table) == "smb"
    assert network_kind(Path("C:\\shop"), table) == ""


def test_a_machine_without_a_mount_table_is_taken_at_its_word() -> None:
    assert network_kind(Path("/home/me/shop"), "") == ""


def test_a_network_folder_is_refused_with_what_to_do() -> None:
    with pytest.raises(Problems) as wrong:
        refuse_network(Path("/mnt/nas/shop"), MOUNTS)
    assert wrong.value.said("terminal") == (
        "/mnt/nas/shop: found the shop folder on a network drive (nfs4), where two writers can spoil the ledger; keep the"
        " shop folder on this machine's own disk; quoting backup can write to the network drive."
    )
    refuse_network(Path("/mnt/nas/local/shop"), MOUNTS)


# --- synced folders


@pytest.mark.parametrize(
    "name",
    ["Dropbox", "OneDrive", "OneDrive - Studio", "Google Drive", "GoogleDrive", "My Drive", "iCloud Drive", "Nextcloud",
     "ownCloud", "Syncthing", "Sync", "CloudStorage", "com~apple~CloudDocs"],
)  # fmt: skip
def test_a_folder_in_one_that_is_named_like_a_synced_one_is_known(tmp_path: Path, name: str) -> None:
    assert synced_by(tmp_path / name / "work" / "shop") == str(tmp_path / name)
    assert synced_by(tmp_path / name) == str(tmp_path / name)


@pytest.mark.parametrize("name", ["shop", "Dropbox of the door", "my syncs", "synchro", "drive", "onedriver"])
def test_a_folder_with_a_name_of_its_own_is_not_taken_for_a_synced_one(tmp_path: Path, name: str) -> None:
    assert synced_by(tmp_path / name / "shop") == ""


@pytest.mark.parametrize("mark", sound.SYNCED_MARKS)
def test_a_folder_with_what_a_synchroniser_leaves_is_known(tmp_path: Path, mark: str) -> None:
    (tmp_path / "work" / "shop").mkdir(parents=True)
    (tmp_path / "work" / mark).touch()
    assert synced_by(tmp_path / "work" / "shop") == str(tmp_path / "work")
    assert synced_by(tmp_path) == ""


# --- the command


def test_commands_that_write_warn_of_a_synced_folder_and_go_on(issued: Path) -> None:
    (issued / ".stfolder").mkdir()
    done = quoting_run("log", "2027-001", "note", "a", "--shop", issued)
    assert done.returncode == 0
    assert f"the shop folder is synced with other machines ({issued})" in " ".join(done.stderr.split())
    again = quoting_run("issue", issued / "jobs" / "flax_screen.toml")
    assert (again.returncode, "is synced with other machines" in again.stderr) == (0, True)


def test_a_shop_folder_that_is_not_synced_is_written_without_a_word(issued: Path) -> None:
    done = quoting_run("log", "2027-001", "note", "a", "--shop", issued)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    "arguments", [("log", "2027-001", "note", "a"), ("pieces",), ("ledger", "check"), ("backup",), ("log", "--show", "2027-001")]
)  # fmt: skip
def test_commands_refuse_a_network_folder_and_leave_it_as_it_is(
    issued: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
) -> None:
    on_a_network(tmp_path, issued, monkeypatch)
    before = contents(issued)
    assert run([*arguments, "--shop", str(issued)]) == 2
    out, told = capsys.readouterr()
    assert (out, "found the shop folder on a network drive (nfs4)" in told) == ("", True)
    assert {name: data for name, data in contents(issued).items() if name != "backups"} == before


def test_issuing_into_a_network_folder_makes_no_ledger(
    samples: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    on_a_network(tmp_path, samples, monkeypatch)
    assert run(["issue", str(samples / "jobs" / "ash_bench.toml")]) == 2
    assert "found the shop folder on a network drive (nfs4)" in capsys.readouterr().err
    assert not (samples / LEDGER_FILE).exists()
    assert not (samples / "issued").exists()


def on_a_network(tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the mount table say that a folder is on another machine."""
    table = tmp_path / "mounts"
    point = str(folder.resolve()).replace(" ", "\\040")
    table.write_text(f"{DISK}nas:/x {point} nfs4 rw 0 0\n", encoding="utf-8")
    monkeypatch.setattr(sound, "MOUNT_TABLE", table)
