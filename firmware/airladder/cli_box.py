"""The commands of the box."""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import replace
from pathlib import Path

from airladder.faults import BadInput


def box(arguments: argparse.Namespace) -> int:
    """Be the box: what its service runs. The first picture stands before the rest is loaded."""
    from airladder.appliance.opening import opened
    from airladder.devices.board_clock import BoardClock

    clock = BoardClock()
    screen = opened(arguments.screen, arguments.settings, clock)
    from airladder.appliance.board import Asked, practise_on_board

    asked = Asked(arguments.source, arguments.log, arguments.settings)
    runtime = os.environ.get("RUNTIME_DIRECTORY")  # by systemd
    return practise_on_board(replace(asked, runtime=Path(runtime)) if runtime else asked, screen, clock)


def selftest(arguments: argparse.Namespace) -> int:
    """Look at every part of the box."""
    from airladder.config import load
    from airladder.selftest.command import listed
    from airladder.selftest.command import selftest as looked_at

    if arguments.list:
        for line in listed():
            print(line)
        return 0
    return looked_at(
        arguments.checks,
        load(arguments.settings),
        quick=arguments.quick,
        hands=not arguments.no_hands,
        as_json=arguments.json,
        out=sys.stdout,
    )


def socket_prepare(arguments: argparse.Namespace) -> int:
    """Make the USB drives for a user who may not."""
    from airladder.appliance.socket import prepare

    prepare(arguments.owner)
    return 0


def socket_remove(arguments: argparse.Namespace) -> int:
    """Take the USB drives away."""
    from airladder.appliance.socket import remove

    remove()
    return 0


def update_make(arguments: argparse.Namespace) -> int:
    """Write this program as an update."""
    from airladder.appliance.release import make

    try:
        print(make(arguments.out, key=arguments.key))
    except OSError as refused:
        why = refused.strerror or refused
        raise BadInput(f"The update cannot be written into {arguments.out} ({why}); name another folder.") from None
    return 0


def update_take(arguments: argparse.Namespace) -> int:
    """Take an update."""
    from airladder.appliance.versions import Versions

    version = Versions().take_file(arguments.file)
    print(f"version {version} is tried at the next start of the box")
    return 0


def update_list(arguments: argparse.Namespace) -> int:
    """List the versions that are here."""
    from airladder.appliance.versions import Versions

    for kept in Versions().kept():
        print(f"{kept.name:<12} {kept.what}")
    return 0
