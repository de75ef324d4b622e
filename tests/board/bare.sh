# shellcheck shell=sh
# The job of the bare board: its devices, made by the kernel; then what the host says.
modprobe -a configfs libcomposite usb_f_mass_storage dummy_hcd usb-storage sd_mod vfat nls_ascii nls_cp437 nls_utf8 cuse
modprobe snd-aloop id=airladder
mount -t configfs configfs /sys/kernel/config
cp /airladder/firmware/system/files/etc/asound.conf /etc/asound.conf
echo 1 >/sys/bus/usb/devices/1-0:1.0/usb1-port1/disable # no computer is at the socket
mkdir -p /run/airladder
python3 -m i2cbus --control /run/i2cbus >/run/i2cbus.log 2>&1 &
while [ ! -e /dev/i2c-1 ]; do sleep 0.1; done
python3 /airladder/tests/board/inside/watch.py /run/i2cbus &
echo ready
# shellcheck source=tests/board/inside/serve.sh
. /airladder/tests/board/inside/serve.sh
