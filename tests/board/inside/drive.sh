# shellcheck shell=sh
# A person who plugs the box into a computer after a practice: drive.sh TRIES. Waits until what the box would hand over
# holds so many tries, puts the cable in, and looks at the drive as a computer does. Prints its label, its files, and how
# many tries are on it; fails when one of the two takes more than two minutes.
port=/sys/bus/usb/devices/1-0:1.0/usb1-port1/disable # 1 is a cable that is out
offered() { mcopy -n -i "$(cat /sys/kernel/config/usb_gadget/airladder/functions/mass_storage.0/lun.0/file)@@1M" "$@"; }
tries() { cat "$1"/*.csv | sed '/^session/d' | grep -c .; }
soon() { # COMMAND...
    for _ in $(seq 120); do
        if "$@"; then return; fi
        sleep 1
    done
    echo "in vain: $*"
    ls -l /run/tries /var/lib/airladder /var/lib/airladder/drive 2>&1
    cat /sys/kernel/config/usb_gadget/airladder/functions/mass_storage.0/lun.*/file /sys/class/udc/*/state
    sqlite3 /var/lib/airladder/log.sqlite 'SELECT session, COUNT(*) FROM attempt GROUP BY 1; SELECT id, started FROM session' 2>&1
    ps -eo pid,etimes,cputimes,args --sort=cputimes | tail -n 8
    tail -n 15 /run/box.log
    exit 1
}
has_them() {
    rm -rf /run/tries && mkdir /run/tries && offered '::/tries/*.csv' /run/tries 2>/dev/null && [ "$(tries /run/tries)" -ge "$1" ]
}
mkdir -p /run/drive
soon has_them "$1"
echo 0 >"$port"
soon mount -t vfat -o ro /dev/sda1 /run/drive 2>/dev/null
blkid -p -s LABEL -o value /dev/sda1
ls /run/drive
echo "tries $(tries /run/drive/tries)"
head -c 300 /run/drive/report.html
umount /run/drive
echo 1 >"$port"
