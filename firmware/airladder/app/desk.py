"""Practice in a window of the browser: the very same program, its panel on a page of this computer only."""

from __future__ import annotations

from typing import TextIO

from airladder.app.ending import told_at_the_end
from airladder.app.order import Order, Outside
from airladder.app.practising import practise
from airladder.app.sources import DEMO, speaker_for
from airladder.devices.clock import Clock
from airladder.devices.window import Window
from airladder.journal.log import Log, Reader
from airladder.pages.box import Box
from airladder.pages.meter import SILENT_DBFS
from airladder.report.fragment import plots

DEMO_HELP = "A demo: the player, the horn and every tone are invented."


def practise_at_desk(order: Order, stdout: TextIO, clock: Clock, port: int = 0) -> int:
    """Run with the panel on a local page; its address is printed first. The exit code.

    Parameters
    ----------
    order : what is run
    stdout : where the address and the summary are printed
    clock : the time
    port : of the page, on the loopback; 0 for any that is free

    Raises
    ------
    LogFault : when the log cannot be used: at a desk that can be mended before the first note.
    SoundFault : when the recording cannot be opened.
    Fault : when the port is taken.
    """
    Log(order.log).close()

    def history() -> str:
        with Reader(order.log) as reader:
            return plots(reader)

    def say(line: str) -> None:
        stdout.write(line + "\n")
        stdout.flush()

    speaker = speaker_for(order.source, order.settings.speaker, clock)
    window = Window(history, clock, port)

    def watch(box: Box) -> None:
        window.level(box.meter.dbfs if box.meter.dbfs > SILENT_DBFS else None)

    for sentence in order.notes.values():
        say(sentence)
    if order.source == DEMO:
        say(DEMO_HELP)
    say(f"open in a browser of this computer: {window.address}")
    try:
        done = practise(order, Outside(window, window.hands, watch, clock, speaker=speaker))
    finally:
        window.close()
    return told_at_the_end(done, order.log, say)
