import os, subprocess, time, sys
from pathlib import Path
from airladder.devices.gadget import Gadget, Lun
def p(*a): print(*a, flush=True)
udc = Path("/sys/class/udc/dummy_udc.0")
def sh(c):
    r = subprocess.run(c, shell=True, capture_output=True, text=True); p("$", c, "->", r.returncode, (r.stdout + r.stderr).strip()[:600])
def st(): return (udc/"state").read_text().strip()
p("start", time.monotonic(), os.uname().release, st())
g = Gadget(); g.open(); p("open")
for i in range(20):
    p(i, st(), g.attached, [x.name for x in Path("/sys/block").glob("sd*")])
    if len(list(Path("/sys/block").glob("sd*")))==2: break
    time.sleep(0.5)
g.put(Lun.OUT, Path("/drives/out.img")); g.put(Lun.IN, Path("/drives/in.img"))
sh("cat /sys/kernel/config/usb_gadget/airladder/functions/mass_storage.0/lun.*/*")
sh("ls -l /sys/block; blkid /dev/sda1 /dev/sdb1; cat /sys/block/sd?/ro /sys/block/sd?/size /sys/block/sd?/removable")
sh("ls /sys/bus/usb/devices /sys/bus/usb/devices/1-1 /sys/bus/usb/devices/1-0:1.0/usb1-port1")
d="/sys/bus/usb/devices/1-1"
for off, on in ((f"echo 0 > {d}/authorized", f"echo 1 > {d}/authorized"),
    ("echo 1 > /sys/bus/usb/devices/1-0:1.0/usb1-port1/disable","echo 0 > /sys/bus/usb/devices/1-0:1.0/usb1-port1/disable"),
    (f"echo disconnect > {udc}/soft_connect", f"echo connect > {udc}/soft_connect"),
    ("echo usb1 > /sys/bus/usb/drivers/usb/unbind","echo usb1 > /sys/bus/usb/drivers/usb/bind"),
    ("echo dummy_hcd.0 > /sys/bus/platform/drivers/dummy_hcd/unbind","echo dummy_hcd.0 > /sys/bus/platform/drivers/dummy_hcd/bind")):
    sh(off); time.sleep(1.5); p(st(), [x.name for x in Path("/sys/block").glob("sd*")])
    sh(on); time.sleep(3); p(st(), [x.name for x in Path("/sys/block").glob("sd*")])
g.close(); sh("ls /sys/kernel/config/usb_gadget; dmesg | tail -40")
p("kernel: 0 ok, 0 FAILED")
