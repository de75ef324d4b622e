"""The USB socket of the box, prepared by root: whoever runs the program may then show drives there, and nothing more.

configfs folders are root's to make, so the program, which is not root, cannot make its drives (`devices.gadget`).
Root makes them at the switch-on and gives the program's user exactly the files that it writes from then on. Tried on
Linux 6.1 in a virtual machine (`tests/acceptance/kernel`); untested on hardware.

Sources: the kernel's Documentation/filesystems/configfs.rst, and fs/configfs/inode.c (configfs_setattr: an owner that
was given to an attribute stays).
"""

from __future__ import annotations

import os
import pwd
from collections.abc import Callable
from pathlib import Path

from airladder.devices.gadget import Gadget
from airladder.faults import BadInput, Fault


def prepare(
    owner: str, gadget: Gadget | None = None, chown: Callable[[Path, int, int], None] = os.chown
) -> tuple[Path, ...]:
    """Make the drives and give `owner` the files that the program writes; the files. It may be repeated.

    Parameters
    ----------
    owner : the name of the program's user
    gadget : the drives; when None, the kernel's
    chown : os.chown, or what stands for it

    Raises
    ------
    BadInput : there is no such user.
    Fault : the kernel has no gadgets, or this is not root.
    """
    try:
        user = pwd.getpwnam(owner)
    except KeyError:
        raise BadInput(f"There is no user '{owner}' here; wanted is the one that runs the program.") from None
    files = (Gadget() if gadget is None else gadget).prepare()
    for file in files:
        try:
            chown(file, user.pw_uid, user.pw_gid)
        except OSError as error:
            raise Fault(f"{file} cannot be given to {owner} ({error.strerror}); run this as root.") from error
    return files


def remove(gadget: Gadget | None = None) -> None:
    """Take the drives away; harmless when they are gone already."""
    (Gadget() if gadget is None else gadget).close()
