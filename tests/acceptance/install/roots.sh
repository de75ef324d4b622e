#!/bin/sh
# Roots of Debian that an install is tried in: made once, laid under a layer for what changes. Read by run.
# shellcheck disable=SC2154 # root, kept, work and suite come from run

mounted= # where the root of the moment is

keep_checkout() { # as it is now: somebody may be at work on it
    (cd "$root" && tar cf "$work/checkout.tar" --exclude=__pycache__ firmware hardware/pins.toml pyproject.toml README.md)
}
base_root() { # with systemd, as Raspberry Pi OS Lite has it, and what stands for its boot partition
    if [ ! -f "$kept/$suite/ready" ]; then
        mkdir -p "$kept"
        rm -rf -- "${kept:?}/$suite"
        mmdebstrap --quiet --variant=minbase --mode=root --include=ca-certificates,systemd,systemd-sysv,udev,kmod,dbus \
            "$suite" "$kept/$suite" || { echo "install: $suite cannot be had" >&2 && exit 3; }
        cp /etc/ssl/certs/ca-certificates.crt "$kept/$suite/etc/ssl/certs/" # it trusts whom this computer trusts
        # pip of Debian 12 builds without looking there
        printf '[global]\ncert = /etc/ssl/certs/ca-certificates.crt\n' >"$kept/$suite/etc/pip.conf"
        mkdir -p "$kept/$suite/boot/firmware/overlays" "$kept/$suite/checkout"
        printf '# mine\n[pi4]\narm_boost=1\n' >"$kept/$suite/boot/firmware/config.txt"
        echo 'console=tty1 root=PARTUUID=0000-02 rootwait' >"$kept/$suite/boot/firmware/cmdline.txt"
        touch "$kept/$suite/ready"
    fi
    cp -L /etc/resolv.conf "$kept/$suite/etc/resolv.conf"
    # What Debian packages bring, which stay: installed by hand, so that they can be told from what is ours.
    rm -rf -- "$work/$suite-packages"
    fresh "$kept/$suite"
    enter sh -c 'apt-get -q update && apt-get -q -y install --no-install-recommends alsa-utils device-tree-compiler dosfstools \
        e2fsprogs kmod mtools python3 gcc libasound2-dev libc6-dev make python3-dev python3-venv swig' >"$work/apt" 2>&1 ||
        { tail "$work/apt" >&2 && exit 3; }
    listing >"$work/packages"
    keep_as "$work/$suite-packages"
}
fresh() { # LOWER: a root as it was kept, to be changed without harm
    unmount_root
    rm -rf -- "$work/upper" "$work/inner"
    mkdir -p "$work/upper" "$work/inner" "$work/root"
    mount -t overlay overlay -o "lowerdir=$1,upperdir=$work/upper,workdir=$work/inner" "$work/root"
    mounted=$work/root
    mount -t proc proc "$mounted/proc"
    mount --bind /dev "$mounted/dev"
    mkdir -p "$mounted/checkout"
    tar xf "$work/checkout.tar" -C "$mounted/checkout"
}
unmount_root() {
    [ -n "$mounted" ] || return 0
    umount "$mounted/proc" "$mounted/dev"
    umount "$mounted"
    mounted=
}
keep_as() { # FOLDER
    umount "$mounted/proc" "$mounted/dev"
    rm -rf -- "$mounted/checkout"
    cp -a "$mounted" "$1"
    umount "$mounted"
    mounted=
}
clear_up() {
    unmount_root
    rm -rf -- "$work"
}
enter() { env -i PATH=/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 chroot "$mounted" "$@" </dev/null; }
install() { enter sh /checkout/firmware/install --anywhere "$@" >"$work/said" 2>&1 || { code=$? && cat "$work/said" && return $code; }; }
fails() { # CODE COMMAND...
    wanted=$1 code=0
    shift
    "$@" || code=$?
    [ "$code" = "$wanted" ]
}
without_network() { # install WORDS
    shift
    env -i PATH=/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 unshare -n chroot "$mounted" sh /checkout/firmware/install --anywhere "$@" \
        >"$work/said" 2>&1 </dev/null || { code=$? && cat "$work/said" && return $code; }
}
as_user() { enter su -s /bin/sh airladder -c "$1"; }

# ---- what is there: every file with its mode, owner and content, but for what Debian keeps of its packages, and time

listing() {
    (cd "$mounted" && find . -xdev \( -path ./proc -o -path ./dev -o -path ./sys -o -path ./run -o -path ./tmp -o -path ./checkout \
        -o -path ./var/lib/dpkg -o -path ./var/lib/apt -o -path ./var/cache -o -path ./var/log -o -path ./etc/ld.so.cache \
        -o -path ./etc/.pwd.lock -o -path './etc/*-' -o -path ./etc/shadow \) -prune -o -printf '%y %m %U:%G %p %l\n' | LC_ALL=C sort &&
        find . -xdev \( -path ./proc -o -path ./dev -o -path ./sys -o -path ./run -o -path ./tmp -o -path ./checkout \
            -o -path ./var/lib/dpkg -o -path ./var/lib/apt -o -path ./var/cache -o -path ./var/log -o -path ./etc/ld.so.cache \
            -o -path ./etc/.pwd.lock -o -path './etc/*-' -o -path ./etc/shadow \) -prune -o -type f -print0 |
        LC_ALL=C sort -z | xargs -0 sha1sum) | grep -v ' ./boot/firmware/cmdline.txt'
    tr -s ' ' '\n' <"$mounted/boot/firmware/cmdline.txt" | grep . # never made shorter: blanks are nothing
}
same_listing() { listing | diff "$1" - | head -n 20 | { ! grep .; }; }
nothing_of_ours() { ! find "$mounted/etc" "$mounted/usr/local" "$mounted/var/lib" -name '*airladder*' | grep . && [ -z "$(ls "$mounted/opt/airladder")" ]; }
left_are() { # PATH: beside what was there before, with Debian's packages
    listing | sed 's/ *$//' >"$work/left"
    sed 's/ *$//' "$work/packages" | diff - "$work/left" | grep '^>' | grep -v -e "${1:-^never}" -e ' \./var/lib/airladder$' \
        -e '/etc/\(passwd\|group\|gshadow\|subuid\|subgid\)$' | { ! grep .; } &&
        sed 's/ *$//' "$work/packages" | diff - "$work/left" | grep '^<' | grep -v '/etc/\(passwd\|group\|gshadow\|subuid\|subgid\)$' | { ! grep .; } &&
        if [ -z "$1" ]; then ! grep airladder "$mounted/etc/passwd" "$mounted/etc/group"; fi
}

# ---- what disturbs

newer_checkout() { # another version, of other libraries
    sed -i 's/"mido>=1.3"/"mido>=1.3,<99"/' "$mounted/checkout/pyproject.toml"
    echo '# newer' >>"$mounted/checkout/firmware/airladder/faults.py"
}
random_moment() { # SECONDS AT MOST, in tenths
    tenth=$(($(od -An -N 4 -t u4 /dev/urandom) % ($1 * 10)))
    echo "$((tenth / 10)).$((tenth % 10))"
}
killed_after() { # SECONDS: it and all that it started, with no time to clean up
    env -i PATH=/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 setsid unshare --pid --fork --kill-child \
        chroot "$mounted" sh /checkout/firmware/install --anywhere --open >"$work/said" 2>&1 </dev/null &
    disturbed=$!
    sleep "$1"
    kill -9 "$disturbed" 2>/dev/null || :
    wait "$disturbed" 2>/dev/null || :
}
last_step() { tail -n 1 "$work/said" | cut -c 9-50; }

# ---- what must be so

compiled() {
    before=$(find "$mounted/opt/airladder" -name '*.pyc' | wc -l)
    [ "$before" -gt 300 ] && enter env PYTHONPATH=/opt/airladder/base /opt/airladder/python/bin/python -m airladder config &&
        [ "$(find "$mounted/opt/airladder" -name '*.pyc' | wc -l)" = "$before" ]
}
units_are_sound() {
    (cd "$mounted/etc/systemd/system" && ls -d airladder*.* var-lib-airladder.mount) | grep -v -e '@' -e wants |
        sed 's,^,/etc/systemd/system/,' >"$work/units"
    # shellcheck disable=SC2046 # names
    enter systemd-analyze verify --man=no $(cat "$work/units") 2>&1 | { ! grep -i airladder; }
}
exposure() { enter systemd-analyze --no-pager security --offline=true airladder.service 2>/dev/null | sed -n 's/.*exposure level for [^:]*: \([0-9.]*\).*/\1/p'; }
