"""Folders on a network are told from folders on a disk."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from shellcoat.book.folders import free_name, network_filesystem

MOUNTS = r"""sysfs /sys sysfs rw 0 0
/dev/sda1 / ext4 rw 0 0
/dev/sdc1 /data/inner ext4 rw 0 0
nas:/data /data nfs rw 0 0
server:/export /srv nfs4 rw 0 0
/dev/sdb1 /srv/disk ext4 rw 0 0
//nas/shop /home/ines/Shop\040files cifs rw 0 0
broken line
laptop /mnt/host fuse.sshfs rw 0 0
"""

pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="drives are asked for in another way there"
)


@pytest.fixture
def mounts(tmp_path: Path) -> Path:
    path = tmp_path / "mounts"
    path.write_text(MOUNTS)
    return path


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/home/ines", None),
        ("/srv/books", "nfs4"),
        ("/srv/disk/books", None),
        ("/data/inner/books", None),
        ("/data/books", "nfs"),
        ("/srvx", None),
        ("/home/ines/Shop files/books", "cifs"),
        ("/mnt/host", "fuse.sshfs"),
    ],
)
def test_the_nearest_mount_decides(mounts: Path, folder: str, kind: str | None) -> None:
    assert network_filesystem(Path(folder), mounts) == kind


def test_without_a_list_of_mounts_nothing_is_refused(tmp_path: Path) -> None:
    assert network_filesystem(Path("/srv"), tmp_path / "nothing") is None


def test_a_taken_name_gets_a_number(tmp_path: Path) -> None:
    path = tmp_path / "a b.shellbook"
    assert free_name(path) == path
    path.touch()
    second = free_name(path)
    assert second.name == "a b (2).shellbook"
    second.touch()
    assert free_name(path).name == "a b (3).shellbook"
