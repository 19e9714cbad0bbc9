"""Tells whether a folder lies on a network file system, where an embedded database is not safe.

Locks and shared memory of such file systems do not hold what SQLite's write-ahead log needs
(SQLite documentation, "Write-Ahead Logging": all processes must be on the same host) [M].
"""

import ctypes
import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final

_NETWORK: Final = frozenset(
    {
        "nfs", "nfs4", "cifs", "smb2", "smb3", "smbfs", "ncpfs", "afs", "auristorfs", "ceph", "glusterfs", "lustre",
        "beegfs", "gfs", "gfs2", "ocfs2", "pvfs2", "orangefs", "davfs", "coda", "fuse.sshfs", "fuse.davfs2",
        "fuse.rclone", "fuse.s3fs", "fuse.glusterfs", "fuse.ceph", "fuse.curlftpfs", "fuse.smbnetfs", "fuse.gvfsd-fuse",
    }
)  # fmt: skip
_TABLE: Final = Path("/proc/mounts")
_WINDOWS_REMOTE: Final = 4


@dataclass(frozen=True, slots=True)
class Mount:
    """One mounted file system: where, and of which type."""

    point: PurePosixPath
    kind: str


def parse_mounts(table: str) -> tuple[Mount, ...]:
    """Returns the mounts of a table in the form of ``/proc/mounts`` (fstab(5): octal escapes for blanks)."""
    out = []
    for line in table.splitlines():
        fields = line.split()
        if len(fields) >= 3 and fields[1].startswith("/"):
            out.append(Mount(PurePosixPath(_unescaped(fields[1])), fields[2]))
    return tuple(out)


def _unescaped(text: str) -> str:
    for octal, char in ((r"\040", " "), (r"\011", "\t"), (r"\012", "\n"), (r"\134", "\\")):
        text = text.replace(octal, char)
    return text


def network_kind(folder: PurePosixPath, mounts: Iterable[Mount]) -> str | None:
    """Returns the type of the network file system that holds ``folder``, or None on a local disk.

    The deepest mount above the folder counts; of two at the same place, the later hides the earlier.
    """
    best: Mount | None = None
    for mount in mounts:
        above = mount.point == folder or mount.point in folder.parents
        if above and (best is None or len(mount.point.parts) >= len(best.point.parts)):
            best = mount
    return best.kind if best is not None and best.kind in _NETWORK else None


def network_file_system(folder: Path) -> str | None:
    """Returns the type of the network file system a folder of this PC lies on, or None."""
    if os.name == "nt":
        return _windows_network(folder)
    try:
        table = _TABLE.read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        return None
    return network_kind(PurePosixPath(os.path.realpath(folder)), parse_mounts(table))


def _windows_network(folder: Path) -> str | None:
    anchor = folder.resolve().anchor
    if anchor.startswith("\\\\"):
        return "UNC"
    windows = getattr(ctypes, "windll", None)  # typed, and there, on Windows alone
    remote = windows is not None and windows.kernel32.GetDriveTypeW(anchor) == _WINDOWS_REMOTE
    return "remote drive" if remote else None
