"""The programs that are counted: each marks its steps, see `start_guest`."""

from __future__ import annotations

READY_MADE = """
mark(0)
bus = os.open("/dev/null", os.O_RDWR)  # /dev/i2c-1 on the board, after ioctl(I2C_SLAVE)
os.write(bus, b"\\0" + bytes(27))
for page in range(8):
    os.write(bus, b"\\0\\xb0\\0\\x10")
    os.write(bus, b"\\x40" + bytes(128))
mark(1)
"""
READY_MADE_STEPS = ("Python itself", "a ready-made picture, by three calls to the kernel")

_BUS = """
import smbus2
smbus2.smbus2.ioctl = lambda device, request, argument: 0  # the kernel
smbus2.SMBus.open = lambda self, bus: None
"""
DRAWN = f"""
mark(0)
import PIL.Image
mark(1)
from airladder.panel import fonts
from airladder.panel.canvas import Canvas
mark(2)
canvas = Canvas()
canvas.text((64, 20), "Airladder", fonts.middle(), align="centre")
canvas.text((64, 40), "is starting", fonts.small(), align="centre")
mark(3)
{_BUS}
from airladder.devices.oled import open_oled
screen = open_oled("ssd1306")
mark(4)
screen.show(canvas.image)
mark(5)
"""
DRAWN_STEPS = (
    "Python itself",
    "Pillow",
    "our canvas and fonts",
    "drawing two lines",
    "luma, smbus2 and our driver",
    "sending all of it",
)

ALL_OF_IT = """
import airladder.cli, airladder.appliance.opening, airladder.appliance.board
"""
WHOLE = f"""
mark(0)
import airladder.cli
names = [name for file in airladder.cli._FILES.values() for name in file]
airladder.cli.parser(dict.fromkeys(names, print)).parse_args(["box"])
mark(1)
{_BUS}
from airladder.appliance.opening import opened
from airladder.devices.board_clock import BoardClock
clock = BoardClock()
screen = opened(None, None, clock)
mark(2)
from airladder.appliance.board import Asked, order_of
mark(3)
import tempfile
from pathlib import Path
import numpy
from dataclasses import replace
from airladder.app.order import Outside
from airladder.app.practising import practise
from airladder.app.program import Program
from airladder.devices.clock import Clock
from airladder.devices.keys import NoKeys
from airladder.devices.microphone import Microphone
from airladder.hearing.block import Block
from airladder.hearing.ear import Ear
from airladder.pages.page import Page
from airladder.practice.presses import Button, Press

class Silence(Microphone):
    name, live, sequence = "silence", False, 0
    def open(self):
        self.sequence = 0
    def close(self):
        pass
    def read(self):
        self.sequence += 1
        Clock().sleep(0.005)
        if 7 in done or self.sequence > 2000:
            return None
        return Block(numpy.zeros(256, numpy.float32), self.sequence, self.sequence * 256 / 48000)

def marked(kind, name, number, wanted=lambda word: True):
    before = getattr(kind, name)
    def after(self, word):
        answer = before(self, word)
        if wanted(word):
            mark(number)
            done.add(number)
        return answer
    setattr(kind, name, after)

done, pages, posts = set(), [], []
marked(Program, "take", 5, lambda word: isinstance(word, Block))
marked(Ear, "feed", 7)
show = screen.show
def noticed(picture, light):
    show(picture, light)
    if Page.TODAY in pages:
        mark(6)
screen.show = noticed
def hands(post):
    posts.append(post)
    return NoKeys()
def watch(box):
    if box.glance is not None and box.page not in pages:
        pages.append(box.page)
        if box.page is Page.TODAY:
            posts[0](Press(Button.OK, False, 0.0))
folder = Path(tempfile.mkdtemp())
(folder / "settings.toml").touch()
order, versions = order_of(Asked("alsa:x", folder / "log.sqlite", folder / "settings.toml", folder))
order = replace(order, at_once=True, first=())
mark(4)
practise(order, Outside(screen, hands, watch, clock, lambda word, clock: Silence()))
"""
WHOLE_STEPS = (
    "Python itself",
    "the command line",
    "the first picture",
    "all other modules",
    "settings and a look at the log",
    "threads, until the first block of sound is taken",
    "today's plan is on the screen",
    "a practice is begun, and its Ear has taken a block",
)
