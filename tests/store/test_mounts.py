"""Network file systems are told from local disks by the table of mounts."""

from pathlib import Path, PurePosixPath

import pytest

from kbapp.store.mounts import Mount, network_file_system, network_kind, parse_mounts

# the form of fstab(5): device, mount point, type, options, two numbers; blanks in names are octal [M]
TABLE = r"""
/dev/sda1 / ext4 rw,relatime 0 0
proc /proc proc rw 0 0
server:/export /mnt/nfs nfs4 rw,vers=4.2 0 0
//server/share /mnt/our\040share cifs rw 0 0
/dev/sdb1 /mnt/nfs/local xfs rw 0 0
me@host:/ /home/ik/remote fuse.sshfs rw 0 0
/dev/sdc1 /mnt/later ext4 rw 0 0
server:/other /mnt/later nfs rw 0 0
short line
"""


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/", None), ("/home/ik/book", None), ("/mnt/nfs", "nfs4"), ("/mnt/nfs/deep/er", "nfs4"),
        ("/mnt/nfsbook", None),
        ("/mnt/our share/book", "cifs"), ("/mnt/nfs/local/book", None), ("/home/ik/remote/book", "fuse.sshfs"),
        ("/mnt/later/book", "nfs"),
    ],
)  # fmt: skip
def test_the_deepest_and_latest_mount_decides(folder: str, kind: str | None) -> None:
    assert network_kind(PurePosixPath(folder), parse_mounts(TABLE)) == kind


def test_an_empty_table_refuses_nothing() -> None:
    assert network_kind(PurePosixPath("/book"), ()) is None
    assert network_kind(PurePosixPath("/book"), (Mount(PurePosixPath("/"), "nfs"),)) == "nfs"


def test_the_disk_of_this_test_is_local(tmp_path: Path) -> None:
    assert network_file_system(tmp_path) is None
