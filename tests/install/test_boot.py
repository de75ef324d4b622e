"""The lines of config.txt and the codec's overlay say what hardware/pins.toml says."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from airladder.devices.pins import pin_map
from install.bootlines import faults
from install.conftest import ROOT

BOOT = ROOT / "firmware/system/boot"
PINS = pin_map()
LINES = [line for line in (BOOT / "config.txt").read_text().splitlines() if not line.startswith("#")]
BUTTONS = {int(pin) for pin in PINS.buttons.values()}
UP = BUTTONS | {PINS.power.battery_alert}
USED = {
    **dict.fromkeys(UP, "a button or the gauge"),
    **dict.fromkeys((PINS.i2c.sda, PINS.i2c.scl), "i2c-rtc"),
    **dict.fromkeys(
        (PINS.i2s.bit_clock, PINS.i2s.frame_clock, PINS.i2s.from_codec, PINS.i2s.to_codec), "airladder-codec"
    ),
    PINS.power.switch_off: "gpio-poweroff",
}
STUB = """
/dts-v1/;
/ {
    #address-cells = <1>;
    #size-cells = <1>;
    i2s: i2s@7e203000 { reg = <0x7e203000 0x24>; status = "disabled"; };
    i2c1: i2c@7e804000 { reg = <0x7e804000 0x1000>; status = "disabled"; };
};
"""


def test_nothing_is_wrong_with_the_lines() -> None:
    assert list(faults(LINES, UP, USED)) == []


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("boot_delay=0", "boot_dealy=0", "boot_dealy is no known key"),
        ("dtparam=i2s=on", "dtparam=i2z=on", "i2z is no known parameter"),
        ("dtoverlay=i2c-rtc,ds3231", "dtoverlay=i2c-rtc,ds3232", "i2c-rtc has no parameter ds3232"),
        ("dtoverlay=dwc2,dr_mode=peripheral", "dtoverlay=dwc3,dr_mode=peripheral", "dwc3 is no known overlay"),
        ("gpio=5,6,13,16,22,26=ip,pu", "gpio=5,6,13,22,26=ip,pu", "pulled up are [5, 6, 13, 22, 26], wanted"),
        ("gpio=5,6,13,16,22,26=ip,pu", "gpio=5,6,13,16,22,26=ip,pd", "is not understood"),
        ("gpio-poweroff,gpiopin=17", "gpio-poweroff,gpiopin=26", "gpio-poweroff takes GPIO26, which is for a button"),
        ("gpio-poweroff,gpiopin=17", "gpio-poweroff", "gpio-poweroff takes a pin that is not named"),
        ("gpio-poweroff,gpiopin=17", "gpio-shutdown,gpio_pin=3", "gpio-shutdown takes GPIO3, which is for i2c-rtc"),
        ("disable_splash=1", "disable_splash=1" + "1" * 98, "characters, 98 are read"),
    ],
)
def test_a_fault_in_the_lines_is_found(old: str, new: str, sentence: str) -> None:
    changed = [line.replace(old, new) for line in LINES]
    assert changed != LINES
    assert any(sentence in fault for fault in faults(changed, UP, USED)), list(faults(changed, UP, USED))


def test_the_supply_is_switched_off_by_the_pin_of_the_map_active_high() -> None:
    """Active low would cut the supply at the switch-on, for the processor pulls the pin down (hardware/pins.toml)."""
    assert f"dtoverlay=gpio-poweroff,gpiopin={PINS.power.switch_off}" in LINES


def test_the_bus_runs_at_400_khz_and_the_socket_is_a_device() -> None:
    assert "dtparam=i2c_arm=on,i2c_arm_baudrate=400000" in LINES
    assert "dtoverlay=dwc2,dr_mode=peripheral" in LINES


def test_the_words_for_the_kernel_are_a_line_each_and_name_no_network() -> None:
    words = [line for line in (BOOT / "cmdline").read_text().splitlines() if not line.startswith("#")]
    assert words == [word for word in words if word and " " not in word]
    assert not any(word.startswith(("ip=", "root=", "console=")) for word in words)


@pytest.fixture(scope="module")
def merged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The codec's overlay, in a tree that has the labels it wants."""
    folder = tmp_path_factory.mktemp("overlay")
    return merge(folder, (BOOT / "airladder-codec.dts").read_text())


def merge(folder: Path, overlay: str, stub: str = STUB) -> Path:
    """Compile both, and lay the one over the other."""
    for name, text in (("stub", stub), ("overlay", overlay)):
        (folder / f"{name}.dts").write_text(text)
        words = ["dtc", "-q", "-@", "-I", "dts", "-O", "dtb", "-o", f"{name}.dtb", f"{name}.dts"]
        subprocess.run(words, check=True, cwd=folder)
    words = ["fdtoverlay", "-i", "stub.dtb", "-o", "merged.dtb", "overlay.dtb"]
    subprocess.run(words, check=True, cwd=folder, capture_output=True)
    return folder / "merged.dtb"


def told(tree: Path, node: str, name: str, kind: str = "s") -> list[str]:
    """A property."""
    words = ["fdtget", "-t", kind, str(tree), node, name]
    return subprocess.run(words, check=True, capture_output=True, text=True).stdout.rstrip("\n").split(" ")


CODEC = f"/i2c@7e804000/codec@{PINS.addresses.codec:x}"


def test_the_codec_is_on_the_bus_at_the_address_of_the_map(merged: Path) -> None:
    assert told(merged, CODEC, "reg", "x") == [f"{PINS.addresses.codec:x}"]
    assert told(merged, CODEC, "compatible") == ["wlf,wm8960"]
    assert told(merged, "/i2c@7e804000", "status") == ["okay"]
    assert told(merged, "/i2s@7e203000", "status") == ["okay"]


def test_the_codec_is_the_master_of_both_clocks(merged: Path) -> None:
    sound, side = "/airladder-sound", "/airladder-sound/simple-audio-card,codec"
    master = told(merged, side, "phandle", "x")
    assert told(merged, sound, "simple-audio-card,bitclock-master", "x") == master
    assert told(merged, sound, "simple-audio-card,frame-master", "x") == master
    assert told(merged, side, "sound-dai", "x") == told(merged, CODEC, "phandle", "x")
    assert told(merged, f"{sound}/simple-audio-card,cpu", "sound-dai", "x") == told(
        merged, "/i2s@7e203000", "phandle", "x"
    )
    assert told(merged, CODEC, "wlf,shared-lrclk") == [""]


def test_48_khz_comes_out_of_its_clock_exactly(merged: Path) -> None:
    clock = int(told(merged, "/airladder-codec-clock", "clock-frequency", "u")[0])
    assert clock == 256 * 48000
    assert told(merged, CODEC, "clocks", "x") == told(merged, "/airladder-codec-clock", "phandle", "x")


def test_the_microphone_has_its_bias(merged: Path) -> None:
    routing = subprocess.run(
        ["fdtget", str(merged), "/airladder-sound", "simple-audio-card,routing"],
        check=True, capture_output=True, text=True,
    ).stdout.strip()  # fmt: skip
    assert "LINPUT1 Mic Jack Mic Jack MICB" in routing


def test_the_card_has_the_name_that_alsa_is_told(merged: Path) -> None:
    name = told(merged, "/airladder-sound", "simple-audio-card,name")[0]
    alsa = (ROOT / "firmware/system/files/etc/asound.conf").read_text()
    assert alsa.count(f"hw:CARD={name}") == 2
    assert (
        f'ATTRS{{id}}=="{name}"' in (ROOT / "firmware/system/files/etc/udev/rules.d/60-airladder.rules").read_text()
    )


def test_a_wrong_label_in_the_overlay_is_found(tmp_path: Path) -> None:
    wrong = (BOOT / "airladder-codec.dts").read_text().replace("target = <&i2c1>", "target = <&i2c_one>")
    with pytest.raises(subprocess.CalledProcessError):
        merge(tmp_path, wrong)
