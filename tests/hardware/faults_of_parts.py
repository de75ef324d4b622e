"""The table of faults, second part: protection, capacitors, switching off, sound, boot files and the bill."""

from __future__ import annotations

from hardware.breaking import Change, add, fact, move, no_bill, place, swap, take, text, together, without

OF_PROTECTION: dict[str, tuple[str, Change]] = {
    "the foot switch's jack is unprotected": ("protection.esd", without("D5")),
    "one CC pin is unprotected": ("protection.esd", move("D7", p2="CC1")),
    "the protection's common is open": ("protection.esd", move("D1", p3=None)),
    "the protection stands behind the ferrite": ("protection.esd", move("D1", p1="MIC")),
    "the protection joins two data wires": ("protection.twins", move("D6", p1="USB_DM")),
    "a data wire of the USB is unprotected": ("protection.esd", move("D6", p1="USB_DM", p6="USB_DM")),
    "the cell's socket is the other way round": ("protection.polarity", swap("J6", "1", "2")),
    "the capsule is the other way round": ("protection.polarity", swap("MK1", "1", "2")),
    "the lead's pins have no names": ("protection.polarity", fact("J7", polarity={"1": "D-", "2": "D+"})),
    "the cell has no socket": ("protection.polarity", without("J6")),
    "the cell's plus leads nowhere": ("protection.polarity", without("F2")),
    "the cell's diode is the other way round": ("protection.diodes", swap("D8", "1", "2")),
    "the cell's diode is left out": ("protection.diodes", without("D8")),
    "the piezo's clamp is the other way round": ("protection.diodes", swap("D4", "1", "2")),
    "a jack's sleeve is open": ("protection.sleeves", move("J2", S=None)),
    "the USB socket's shell is open": ("protection.sleeves", move("J5", S1=None)),
}

OF_PLACES: dict[str, tuple[str, Change]] = {
    "the clock's capacitor is left out": ("beside.decoupled", without("C1")),
    "the gauge's capacitor is 100 pF": ("beside.decoupled", take("C24", "c-100p")),
    "the option's chip has no capacitor": ("beside.decoupled", without("C14")),
    "the codec's capacitors stand by the display": (
        "beside.decoupled",
        together(place("C5", near="DS1"), place("C6", near="DS1")),
    ),
    "the codec has only a large capacitor": ("beside.quick", without("C5")),
    "the display has only a small capacitor": ("beside.reserve", without("C18")),
    "the analogue supply has no capacitor": ("beside.reserve", without("C7")),
    "a capacitor stands by a part of another supply": ("beside.near_somebody", place("C24", near="A3")),
    "the test point of the microphone's bias is left out": ("beside.measured", without("TP9")),
    "a test point is on the wrong net": ("beside.measured", move("TP4", p1="SCL")),
}

OF_OFF: dict[str, tuple[str, Change]] = {
    "the off wire's diode is the other way round": ("off.kill_path", swap("D9", "1", "2")),
    "the off wire leads to KILL by a resistor too": ("off.kill_path", add("R96", "r-10k", p1="OFF", p2="KILL")),
    "KILL has no pull-down": ("off.kill_path", without("R32")),
    "a button is on the off wire": ("off.kill_path", move("SW1", p1="OFF")),
    "the gauge's alert is on the off wire": ("off.kill_path", move("A4", p5="OFF")),
    "KILL goes straight to the computer": ("off.kill_path", move("A1", p36="KILL")),
    "the boost's enable pin is on the cell": ("off.held", move("A5", p5="BAT")),
    "the enable pin has no capacitor": ("off.held", without("C25")),
    "the slide is the other way round": ("off.held", swap("SW5", "1", "3")),
    "the slide does not reach the enable pin": ("off.held", without("R30")),
    "the transistor's gate and drain are swapped": ("off.held", swap("Q1", "1", "3")),
    "the latch is left out": ("off.held", without("R31")),
    "the computer cannot lift KILL": ("off.volts_of_kill", take("R32", "r-1k")),
    "the enable pin is slower than the latch": ("off.volts_of_kill", take("C25", "c-1u")),
    "the supply's off wire is active low": (
        "off.config",
        text("config", "gpio-poweroff,gpiopin=17", "gpio-poweroff,gpiopin=17,active_low"),
    ),
    "the supply's off wire is another pin": ("off.config", text("config", "gpiopin=17", "gpiopin=12")),
}

OF_SOUND: dict[str, tuple[str, Change]] = {
    "the phones' series resistor is bridged": ("sound.phones", take("R16", "r-22")),
    "the phones' shunt is left out": ("sound.phones", without("R19")),
    "the channels are not alike": ("sound.phones", take("R18", "r-180")),
    "left and right are swapped": ("sound.phones", swap("J2", "T", "R")),
    "the phones' capacitor is too small": ("sound.phones", take("C16", "c-1u")),
    "the phones get direct current": ("sound.direct", take("C17", "r-22")),
    "the microphone's bias reaches the codec's input": ("sound.direct", take("C10", "r-22")),
    "the bias reaches the piezo's jack": ("sound.bias", move("J3", T="MIC_TIP")),
    "the bias comes by two ways": ("sound.bias", add("R95", "r-2k2", p1="MICB", p2="MIC_TIP")),
    "the bias has no capacitor": ("sound.bias", without("C8")),
    "the microphone does not get its bias": ("sound.bias", without("R1")),
    "the bias leads to a wire of its own": ("sound.bias", add("R95", "r-2k2", p1="MIC_TIP", p2="SPARE")),
    "the microphone has no capacitor against the radio": ("sound.bias", without("C9")),
    "the other bias comes from the codec's own supply": ("sound.bias", move("R2", p1="3V3")),
    "the microphone's resistor is too high": ("sound.microphone_values", take("R1", "r-27k")),
    "the microphone's lowest notes are cut": ("sound.microphone_values", take("C10", "c-1u")),
    "the jumper has the piezo on its bridged side": ("sound.input_chosen", swap("JP1", "1", "3")),
    "the capsule in the box is on with a plug too": ("sound.switched_over", move("MK1", p1="MIC_TIP")),
    "the jack's switch is left open": ("sound.switched_over", move("J1", TN=None)),
    "the capsule's wire is loaded": ("sound.switched_over", add("R95", "r-10k", p1="STAND", p2="GND")),
    "the jack's ferrite is left out": ("sound.switched_over", without("FB2")),
    "the piezo's input floats without a plug": ("sound.switched_over", move("J3", TN=None)),
}

OF_PIEZO: dict[str, tuple[str, Change]] = {
    "the piezo's follower has no feedback": ("piezo.followed", move("U1", p4="GND")),
    "the piezo has a jack and no follower": ("piezo.followed", without("U1")),
    "the piezo's jack leads nowhere": ("piezo.followed", move("J3", T="LOOSE")),
    "the follower's ground is on its supply": ("piezo.followed", move("U1", p2="3V3A")),
    "the piezo's clamp is left out": ("piezo.followed", without("D4")),
    "the piezo's input is loaded by 10 kohm": ("piezo.followed", take("R11", "r-10k")),
    "the piezo's input rests at ground": ("piezo.followed", move("R11", p2="GND")),
    "the half supply is not half": ("piezo.followed", take("R14", "r-10k")),
    "the piezo gets to the codec with direct current": ("piezo.padded", take("C12", "r-1k")),
    "the piezo's pad is left out": ("piezo.padded", without("R13")),
}

OF_FILES: dict[str, tuple[str, Change]] = {
    "a button is not pulled up": ("boot.pulled", text("config", "gpio=5,6,13", "gpio=5,13")),
    "the cable's wire is pulled up": ("boot.pulled", text("config", "22,26=ip", "22,25,26=ip")),
    "a button's wire is moved on the board": ("boot.pulled", move("A1", p29=None, p32="BTN_UP")),
    "the overlay listens at the other input": ("boot.routing", text("overlay", '"LINPUT1"', '"LINPUT2"')),
    "the codec's other input is soldered": ("boot.routing", move("A2", p11=None, p12="LIN1")),
    "nobody has made the bill": ("bill.complete", no_bill),
    "a price of the bill has no cents": ("bill.complete", text("bill", ",18.00,", ",18,")),
    "a data sheet of the bill is a word": ("bill.complete", text("bill", ",https://", ",somewhere ")),
    "the bill has no column for the alternative": ("bill.complete", text("bill", "Alternative,", "")),
    "the bill does not say what a generic part must be": (
        "bill.complete",
        text("bill", "generic: chip WM8960", "generic"),
    ),
    "a line of the bill has no search term": ("bill.complete", text("bill", ",Zero 2 W header\n", ",\n")),
    "the bill lacks a part": ("bill.same_parts", add("R94", "r-10k", p1="3V3", p2="BTN_UP")),
    "the bill has a part that is gone": ("bill.same_parts", without("R12")),
    "the bill has a part twice": ("bill.same_parts", text("bill", "C13 C14,2", "C13 C13 C14,3")),
    "the bill has the wrong number": ("bill.same_parts", text("bill", "C13 C14,2", "C13 C14,3")),
    "the bill calls an option usual": ("bill.same_parts", place("C14", option="")),
}

FAULTS = OF_PROTECTION | OF_PLACES | OF_OFF | OF_SOUND | OF_PIEZO | OF_FILES
