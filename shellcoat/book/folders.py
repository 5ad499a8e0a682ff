"""What kind of folder a book lies in."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

MOUNTS = Path("/proc/mounts")
REMOTE_DRIVE = 4  # DRIVE_REMOTE of the Windows call GetDriveTypeW

# Names of file systems that reach over a network or into a host, from memory. Their locks
# and shared memory are not those of a disk.
NETWORK_FILESYSTEMS = frozenset(
    {
        "9p", "afs", "afpfs", "beegfs", "ceph", "cifs", "coda", "davfs", "fuse.davfs2",
        "fuse.gcsfuse", "fuse.glusterfs", "fuse.rclone", "fuse.s3fs", "fuse.smbnetfs",
        "fuse.sshfs", "fuse.vmhgfs-fuse", "gfs2", "glusterfs", "gpfs", "lustre", "ncpfs", "nfs",
        "nfs4", "ocfs2", "prl_fs", "smb3", "smbfs", "vboxsf", "vmhgfs",
    }
)  # fmt: skip


def network_filesystem(folder: Path, mounts: Path | None = None) -> str | None:
    """Name the network file system a folder lies on, or None for a disk or when in doubt."""
    if sys.platform == "win32":
        return _windows_share(folder)
    return _mounted_share(folder, mounts or MOUNTS)


def _mounted_share(folder: Path, mounts: Path) -> str | None:
    best, kind = Path("/"), ""
    for place, filesystem in _mounted(mounts):
        if folder.is_relative_to(place) and place.is_relative_to(best):
            best, kind = place, filesystem
    return kind if kind in NETWORK_FILESYSTEMS else None


def _mounted(mounts: Path) -> Iterator[tuple[Path, str]]:
    try:
        lines = mounts.read_text("utf-8", "surrogateescape").splitlines()
    except OSError:
        return
    for line in lines:
        parts = line.split()
        if len(parts) >= 3:
            # The kernel writes a blank in a path as \040.
            yield Path(parts[1].replace("\\040", " ")), parts[2]


def _windows_share(folder: Path) -> str | None:
    import ctypes

    if folder.drive.startswith("\\\\"):
        return "Windows share"
    kind = getattr(ctypes, "windll").kernel32.GetDriveTypeW(f"{folder.drive}\\")  # noqa: B009
    return "network drive" if kind == REMOTE_DRIVE else None


def sync_folder(folder: Path) -> None:
    """Make a new or renamed file's name survive a power cut; Windows does so by itself."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_file(path: Path) -> None:
    """Make a file's bytes survive a power cut."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def put_in_place(new: Path, path: Path) -> None:
    """Give a finished file its name, so that a power cut leaves either all of it or nothing."""
    sync_file(new)
    new.replace(path)
    sync_folder(path.parent)


def discard(*paths: Path) -> None:
    """Remove what was not finished; what cannot be removed does no harm."""
    for path in paths:
        with suppress(OSError):
            path.unlink(missing_ok=True)


def backup_folder(path: Path) -> Path:
    """Name the folder in which a book's backups are kept unless another one is chosen."""
    return path.with_name(f"{path.stem} backups")


def free_name(path: Path) -> Path:
    """Give the path itself, or one with a number behind its stem if that is taken."""
    found, number = path, 1
    while found.exists():
        number += 1
        found = path.with_name(f"{path.stem} ({number}){path.suffix}")
    return found
