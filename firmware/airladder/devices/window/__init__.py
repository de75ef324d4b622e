"""The local web window: the panel's own picture on a page of this computer, enlarged, with its buttons.

It is a window on the same program, not a second interface: all that stands on the picture arrives as pixels, and
clicks and keys leave as edges of buttons, so that short, long and repeat are decided where the box decides them.
"""

from airladder.devices.window.window import Window

__all__ = ["Window"]
