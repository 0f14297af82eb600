"""Saving: whole or not at all, and on the disk when it is said to be."""

from __future__ import annotations

import errno
import os
import stat
import sys
from pathlib import Path

import pytest

from ccassist.job.disk import read_text, write_text
from ccassist.values.findings import InputError

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="folders, modes and links of POSIX")


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A file that is there already."""
    path = tmp_path / "job.toml"
    path.write_text("old", encoding="utf-8")
    return path


@POSIX
def test_data_then_rename_then_folder_reach_the_disk_in_that_order(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The order that makes a rename durable: fsync of the file, rename, fsync of the folder (POSIX fsync, rename)."""
    done: list[str] = []
    fsync, replace = os.fsync, os.replace

    def noted_fsync(handle: int) -> None:
        done.append("fsync of folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "fsync of file")
        fsync(handle)

    def noted_replace(source: str, target: Path) -> None:
        assert Path(source).read_text(encoding="utf-8") == "new"
        done.append("rename")
        replace(source, target)

    monkeypatch.setattr(os, "fsync", noted_fsync)
    monkeypatch.setattr(os, "replace", noted_replace)
    write_text(old, "new")
    assert done == ["fsync of file", "rename", "fsync of folder"]


@pytest.mark.parametrize("call", ["fsync", "replace"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EDQUOT])
def test_a_fault_keeps_the_old_file_whole_and_leaves_no_litter(
    old: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int
) -> None:
    def fails(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, call, fails)
    with pytest.raises(InputError, match=f"not saved: {os.strerror(number)}"):
        write_text(old, "new")
    assert old.read_text(encoding="utf-8") == "old"
    assert list(old.parent.iterdir()) == [old]


def test_an_interrupt_keeps_the_old_file_whole(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_text(old, "new")
    assert old.read_text(encoding="utf-8") == "old"
    assert list(old.parent.iterdir()) == [old]


@POSIX
def test_a_link_stays_a_link_and_its_target_is_written(old: Path, tmp_path: Path) -> None:
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    link = folder / "link.toml"
    link.symlink_to(old)
    write_text(link, "new")
    assert link.is_symlink()
    assert old.read_text(encoding="utf-8") == "new"


@POSIX
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_permissions_are_kept(old: Path, mode: int) -> None:
    old.chmod(mode)
    write_text(old, "new")
    assert stat.S_IMODE(old.stat().st_mode) == mode


@POSIX
def test_a_new_file_has_the_permissions_the_user_asks_for(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_text(tmp_path / "new.toml", "new")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "new.toml").stat().st_mode) == 0o640


def test_no_such_folder_is_said_in_words(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not saved: No such file or directory"):
        write_text(tmp_path / "none" / "job.toml", "new")


@POSIX
def test_a_pipe_or_a_folder_is_never_replaced(tmp_path: Path) -> None:
    """A rename would put a plain file in its place; run as root that would be the end of /dev/null."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to("pipe")
    (tmp_path / "folder").mkdir()
    for name, words in (("pipe", "not an ordinary file"), ("link", "not an ordinary file"), ("folder", "a folder")):
        with pytest.raises(InputError, match=f"{name}: not saved: this is {words}"):
            write_text(tmp_path / name, "new")
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["folder", "link", "pipe"]


def test_a_nul_in_the_name_is_said_in_words() -> None:
    with pytest.raises(InputError, match="not saved"):
        write_text(Path("job\0.toml"), "new")


def test_text_is_read_back_as_written(tmp_path: Path) -> None:
    text = "a\r\nb\n\u00b5 \U0001f527"
    write_text(tmp_path / "job.toml", text)
    assert read_text(tmp_path / "job.toml") == text


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda p: p.mkdir(), "this is a folder, not a job file"),
        (lambda p: p.write_bytes(b"a = \xe9"), "not UTF-8 text"),
        (lambda p: None, "no such file"),
    ],
)
def test_what_cannot_be_read_is_said_in_words(tmp_path: Path, make: object, words: str) -> None:
    path = tmp_path / "odd"
    make(path)  # type: ignore[operator]
    with pytest.raises(InputError, match=words):
        read_text(path)
