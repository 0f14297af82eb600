"""Saving: whole or not at all, and on the disk when it is said to be."""

from __future__ import annotations

import errno
import os
import stat
import struct
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from ccassist.job import disk
from ccassist.job.disk import read_text, write_text
from ccassist.job.write import JobFile
from ccassist.values.findings import InputError
from tests.sound_job import SOUND, Shop

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="folders, modes and links of POSIX")


@pytest.fixture(autouse=True)
def nothing_untold() -> None:
    """What saves of other tests left to be said is none of these."""
    disk.doubts()


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


# An access list as Linux keeps it: version 2, then tag, rights and id of the owner, user 12345, group, mask and others
# (linux/posix_acl_xattr.h, from memory); its mask shows as the group's rights in the mode.
NOBODY = 0xFFFFFFFF
LIST = struct.pack("<I", 2) + b"".join(
    struct.pack("<HHI", *entry)
    for entry in ((1, 6, NOBODY), (2, 4, 12345), (4, 0, NOBODY), (16, 4, NOBODY), (32, 0, NOBODY))
)
SET_FOR_IT = {"system.posix_acl_access": LIST, "user.shop": b"head 3"}


@pytest.fixture
def listed(old: Path) -> Path:
    """A file with an access list and an attribute of its owner."""
    try:
        for key, value in SET_FOR_IT.items():
            os.setxattr(old, key, value)
    except (AttributeError, OSError) as fault:
        pytest.skip(f"no access lists or attributes here: {fault}")
    return old


def attributes(path: Path) -> dict[str, bytes]:
    return {key: os.getxattr(path, key) for key in os.listxattr(path) if key in SET_FOR_IT}


def test_access_list_and_attributes_are_kept(listed: Path) -> None:
    write_text(listed, "new")
    assert attributes(listed) == SET_FOR_IT
    assert stat.S_IMODE(listed.stat().st_mode) == 0o640
    assert disk.doubts() == []


def test_a_list_that_the_folder_hands_on_is_not_given_to_a_file_that_had_none(listed: Path) -> None:
    os.setxattr(listed.parent, "system.posix_acl_default", LIST)
    os.removexattr(listed, "system.posix_acl_access")
    write_text(listed, "new")
    assert attributes(listed) == {"user.shop": b"head 3"}


def test_an_access_list_that_cannot_be_kept_is_said(listed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP))

    monkeypatch.setattr(os, "setxattr", refused)
    write_text(listed, "new")
    (doubt,) = disk.doubts()
    assert "could be kept: system.posix_acl_access, user.shop" in doubt.wrong
    assert listed.read_text(encoding="utf-8") == "new"


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


class TestDoubts:
    """What is said of a save that stands in the file all the same."""

    @POSIX
    @pytest.mark.parametrize(("number", "said"), [(errno.EIO, True), (errno.ENOSPC, True), (errno.EINVAL, False)])
    def test_a_folder_that_was_not_synced_is_said_but_where_none_can_be(
        self, old: Path, monkeypatch: pytest.MonkeyPatch, number: int, said: bool
    ) -> None:
        """EINVAL: the file system cannot sync it (Linux fsync(2))."""
        fsync = os.fsync

        def fails(handle: int) -> None:
            if stat.S_ISDIR(os.fstat(handle).st_mode):
                raise OSError(number, os.strerror(number))
            fsync(handle)

        monkeypatch.setattr(os, "fsync", fails)
        write_text(old, "new")
        assert old.read_text(encoding="utf-8") == "new"
        found = disk.doubts()
        assert [one.wrong for one in found] == (
            [f"saved, but the disk did not confirm it: {os.strerror(number)}"] if said else []
        )
        assert disk.doubts() == []

    @POSIX
    def test_another_name_of_the_file_is_said_once(self, old: Path) -> None:
        other = old.with_name("other.toml")
        other.hardlink_to(old)
        write_text(old, "new")
        assert [("hard link" in one.wrong, one.file) for one in disk.doubts()] == [(True, str(old))]
        assert other.read_text(encoding="utf-8") == "old"
        write_text(old, "newer")
        assert disk.doubts() == []

    @POSIX
    @pytest.mark.parametrize("allowed", [True, False])
    def test_the_owner_is_kept_or_said(self, old: Path, monkeypatch: pytest.MonkeyPatch, allowed: bool) -> None:
        given: list[tuple[int, int]] = []

        def chown(name: Path, user: int, group: int) -> None:
            given.append((user, group))
            if not allowed:
                raise PermissionError(errno.EPERM, "not yours")

        there = os.stat
        another = (*old.stat()[:4], 4321, 8765, *old.stat()[6:])
        monkeypatch.setattr(os, "chown", chown)
        monkeypatch.setattr(Path, "stat", lambda path, **_: os.stat_result(another) if path == old else there(path))
        write_text(old, "new")
        assert given == [(4321, 8765)]
        assert [one.wrong for one in disk.doubts()] == (
            [] if allowed else ["saved, but it is yours now: its owner and group could not be kept"]
        )

    def test_where_fsync_stops_at_the_drive_the_whole_way_is_asked_for(
        self, old: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """F_FULLFSYNC: macOS, fcntl(2) (from memory); a disk that does not know it gets an fsync."""
        asked: list[int] = []
        monkeypatch.setattr(
            disk, "fcntl", SimpleNamespace(F_FULLFSYNC=51, fcntl=lambda handle, call: asked.append(call))
        )
        monkeypatch.setattr(os, "fsync", lambda handle: pytest.fail("not the whole way"))
        write_text(old, "new")
        assert set(asked) == {51}

        def unknown(handle: int, call: int) -> None:
            raise OSError(errno.ENOTSUP, "unknown")

        monkeypatch.setattr(disk, "fcntl", SimpleNamespace(F_FULLFSYNC=51, fcntl=unknown))
        monkeypatch.setattr(os, "fsync", asked.append)
        write_text(old, "newer")
        assert len(asked) > 2


def test_what_a_killed_save_left_goes_with_a_later_one(old: Path) -> None:
    now, long_ago = old.with_name(".job.toml.1.part"), old.with_name(".job.toml.2.part")
    for left in (now, long_ago):
        left.write_text("begun", encoding="utf-8")
    os.utime(long_ago, (1e9, 1e9))
    write_text(old, "new")
    assert sorted(old.parent.iterdir()) == sorted([old, now])  # what was just begun may be another's


@POSIX
def test_a_command_says_what_the_disk_did_not_confirm(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    path = shop.write(SOUND)
    path.with_name("other.toml").hardlink_to(path)
    assert shop.run("readings", "job.toml", "--csv", "readings.csv") == 0
    assert shop.err == ""
    with JobFile.open(path) as file:
        file.save(file.text + "# more\n", file.text)
    assert shop.run("show", "job.toml") == 0
    assert "had another name too (a hard link)" in shop.err
