"""The table of faults, first part: header, volts, buses and USB; each with the rule that must find it.

The first eleven are those of the notes that the circuit was planned by; five of them KiCad's own check finds as well
(test_erc.py). A fault stands under one rule, though others may find it too.
"""

from __future__ import annotations

from hardware.breaking import (
    Change,
    add,
    button,
    exchange,
    fact,
    firmware,
    move,
    new_signal,
    swap,
    take,
    text,
    together,
    without,
)

PLANNED: dict[str, tuple[str, Change]] = {
    "the display's SCL is left open": ("header.pin_map", move("DS1", p3=None)),
    "the codec's two data wires are swapped": ("header.sound_crossed", swap("A2", "7", "8")),
    "a net's name has a typing error": ("header.pin_map", move("A3", p3="SLC")),
    "5 V is joined to 3.3 V": ("header.nothing_unknown", move("A1", p1="5V")),
    "the boost's output is forgotten": ("rails.rail_sources", move("A5", p7=None)),
    "SDA and SCL are swapped at the computer": ("header.pin_map", swap("A1", "3", "5")),
    "a button is moved in the circuit only": ("header.pin_map", move("A1", p29=None, p32="BTN_UP")),
    "a button is on the console's pin, in both files": (
        "header.forbidden",
        together(move("A1", p29=None, p8="BTN_UP"), button("up", 14)),
    ),
    "a button goes to 3.3 V instead of ground": ("header.pin_map", move("SW1", p2="3V3")),
    "two devices have one address": ("buses.addresses", fact("A3", address=0x36)),
    "the display is fed with 5 V": ("rails.supplies", move("DS1", p2="5V")),
}

OF_HEADER: dict[str, tuple[str, Change]] = {
    "two buttons are swapped at the switches": (
        "header.pin_map",
        together(move("SW1", p1="KEY_DOWN"), move("SW2", p1="KEY_UP")),
    ),
    "a button is moved in the firmware only": ("header.pin_map", button("ok", 12)),
    "a button's resistor is left out": ("header.pin_map", without("R21")),
    "a button's resistor is half a megohm": ("header.pin_map", take("R22", "r-470k")),
    "the foot switch is on the ring": ("header.pin_map", move("J4", T=None, R="FOOT_TIP")),
    "the alert wire is on the gauge's other pin": ("header.pin_map", swap("A4", "5", "6")),
    "the cable's wire is moved in the firmware only": ("header.pin_map", firmware("usb", cable=12)),
    "the off wire skips its diode": ("header.pin_map", without("D9")),
    "the foot switch has no pull-up": ("header.pin_map", without("R26")),
    "the cable's wire has no upper resistor": ("header.pin_map", without("R34")),
    "the firmware learns of a lamp that no rule knows": ("header.pin_map", new_signal("lamp", red=5)),
    "an unknown wire is on the header": ("header.nothing_unknown", move("A1", p7="SPARE")),
    "a ground pin of the header is left open": ("header.nothing_unknown", move("A1", p25=None)),
    "a wire is on a pin of the identity EEPROM": ("header.forbidden", move("A1", p27="SDA")),
    "a wire is on a pin of the other codec board": ("header.forbidden", move("A1", p16="BTN_UP")),
    "the firmware takes the pin that wakes the board for a button": ("header.forbidden", button("up", 3)),
    "the alert is on the wake pin": ("header.forbidden", move("A4", p5="SCL")),
    "the sound's two clocks are swapped": ("header.sound_crossed", swap("A2", "5", "6")),
    "the sound's data wires are swapped in both files": (
        "header.sound_crossed",
        together(swap("A1", "38", "40"), firmware("i2s", from_codec=21, to_codec=20)),
    ),
}

OF_VOLTS: dict[str, tuple[str, Change]] = {
    "the codec is fed by the cell": ("rails.supplies", move("A2", p1="BAT")),
    "the gauge is fed by 5 V": ("rails.supplies", move("A4", p1="5V")),
    "the charger is fed by the box's 5 V without the USB's": ("rails.supplies", fact("A5", supply={"1": (4.8, 5.5)})),
    "the clock lives on 5 V, where 3.3 V is not high": ("rails.bus_levels", move("A3", p5="5V")),
    "the analogue supply's ferrite is left out": ("rails.rail_sources", without("FB1")),
    "the codec's supply is left open": ("rails.supplies", move("A2", p1=None)),
    "the header's 3.3 V is left open": ("rails.rail_sources", move("A1", p1=None)),
    "a second boost feeds the 5 V": (
        "rails.rail_sources",
        add("A9", "power", p1="VBUS", p2="GND", p3="BAT", p4="GND", p5="EN", p6="GND", p7="5V", p8="GND"),
    ),
    "a ground pin of a module is open": ("rails.rail_sources", move("A5", p6=None)),
    "the divider's lower resistor is left out": ("rails.signal_levels", without("R35")),
    "the divider's upper resistor is too small": ("rails.signal_levels", take("R34", "r-10k")),
    "a button's pin is pulled up to 5 V": ("rails.signal_levels", add("R99", "r-10k", p1="5V", p2="BTN_UP")),
    "a button goes to the cell": ("rails.signal_levels", move("SW3", p2="BAT")),
    "a pin hangs on a transistor's cell side": ("rails.signal_levels", move("A1", p36="LATCH")),
    "the foot switch's pull-up goes to the cell": ("rails.signal_levels", move("R26", p1="BAT")),
}

OF_RATINGS: dict[str, tuple[str, Change]] = {
    "the charger's capacitor is one of 6.3 V": ("rails.ratings", take("C21", "c-47u")),
    "a capacitor does not say its volts": ("rails.ratings", fact("C1", spec="X7R")),
}

OF_BUSES: dict[str, tuple[str, Change]] = {
    "the clock's own pull-ups are left on": ("buses.pull_ups", fact("A3", pull_ups={"3": (4700.0, "3V3")})),
    "the gauge's pull-ups to the cell are left on": ("buses.pull_ups", fact("A4", pull_ups={"3": (10000.0, "BAT")})),
    "the carrier has pull-ups as well": ("buses.pull_ups", add("R98", "r-2k2", p1="3V3", p2="SDA")),
    "the computer's pull-ups are not there": ("buses.pull_ups", fact("A1", pull_ups={})),
    "the display answers elsewhere": ("buses.addresses", fact("DS1", address=0x3D)),
    "the second display row answers elsewhere": ("buses.addresses", fact("DS2", address=0x3D)),
    "the firmware asks the gauge elsewhere": ("buses.addresses", firmware("addresses", gauge=0x55)),
    "the clock module is left out": ("buses.addresses", without("A3")),
    "the overlay has another address": ("buses.overlay_agrees", text("overlay", "reg = <0x1a>", "reg = <0x1b>")),
    "the overlay is for another chip": (
        "buses.overlay_agrees",
        text("overlay", 'le = "wlf,wm8960"', 'le = "wlf,wm8904"'),
    ),
    "the overlay has no codec": ("buses.overlay_agrees", text("overlay", "codec@", "chip@")),
    "the clock answers elsewhere than its driver asks": ("buses.overlay_agrees", fact("A3", address=0x69)),
    "config.txt has another clock chip": (
        "buses.overlay_agrees",
        text("config", "i2c-rtc,ds3231", "i2c-rtc,pcf8563"),
    ),
}

OF_USB: dict[str, tuple[str, Change]] = {
    "a diode joins the USB's 5 V to the box's": ("usb.kept_apart", add("D99", "schottky", p1="5V", p2="VBUS")),
    "the fuse leads to the box's 5 V": ("usb.kept_apart", move("F1", p2="5V")),
    "a low resistor joins the USB's 5 V to the cell": ("usb.kept_apart", add("R97", "r-22", p1="VBUS", p2="BAT")),
    "another module bridges the two": ("usb.kept_apart", move("A4", p6="VBUS")),
    "the lead to the computer carries the USB's 5 V": ("usb.lead", move("J7", p3="VBUS_IN")),
    "the lead's data wires are swapped": ("usb.lead", swap("J7", "1", "2")),
    "the lead to the computer is left out": ("usb.lead", without("J7")),
    "both CC pins share one resistor": (
        "usb.configuration",
        together(move("J5", B5="CC1"), without("R28"), move("D7", p2="CC1")),
    ),
    "a CC resistor goes to VBUS": ("usb.configuration", move("R27", p2="VBUS_IN")),
    "a CC resistor is 10 kohm": ("usb.configuration", take("R28", "r-10k")),
    "the charger is before the fuse": ("usb.fused", move("A5", p1="VBUS_IN")),
    "one 5 V contact of the socket is forgotten": ("usb.fused", move("J5", B9=None)),
    "a ground contact of the socket is open": ("usb.grounded", move("J5", B12=None)),
    "the fuse is a ferrite": ("usb.fused", take("F1", "ferrite")),
    "the sense wire has no capacitor": ("usb.sensed", without("C27")),
    "the sense resistor is 1 kohm": ("usb.sensed", take("R34", "r-1k")),
    "the divider is upside down, and reads as low": ("usb.sensed", exchange("R34", "R35")),
}

FAULTS = PLANNED | OF_HEADER | OF_VOLTS | OF_RATINGS | OF_BUSES | OF_USB
