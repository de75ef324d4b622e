#!/bin/sh
# Step of firmware/install: Debian packages.
# shellcheck disable=SC2154 # into comes from firmware/install

wanted_packages() { # a line each
    cat <<'END'
alsa-utils
device-tree-compiler
dosfstools
e2fsprogs
kmod
mtools
python3
systemd
udev
END
}
packages_for_building() { # of libraries that PyPI has no wheel of, on arm64 nor elsewhere
    cat <<'END'
ca-certificates
gcc
libasound2-dev
libc6-dev
make
python3-dev
python3-venv
swig
END
}
is_installed() { dpkg-query ${into:+--admindir="$into/var/lib/dpkg"} -W -f '${db:Status-Abbrev}\n' "$1" 2>/dev/null | grep -q '^ii'; }
missing_packages() { while read -r name; do is_installed "$name" || echo "$name"; done; }

packages_step() {
    if [ -n "$into" ]; then return; fi # they must be in the image, and without dpkg nobody can tell
    missing=$({ wanted_packages && packages_for_building; } | missing_packages | tr '\n' ' ')
    [ -n "$missing" ] || [ -n "$(dpkg --audit)" ] || return 0
    dpkg --configure -a >>"$log" 2>&1 </dev/null || : # what an install before this one was cut off in
    apt install --fix-broken || :
    [ -n "$missing" ] || return 0
    say "getting Debian packages: $missing"
    apt update || : # a stranger's archive that is down must not stop us
    # shellcheck disable=SC2086 # names, one word each
    apt install --no-install-recommends $missing ||
        stop_with_log "apt-get could not install $missing- is this board on line? What was here before is untouched."
}
apt() { # waits for a machine that is just updating itself
    DEBIAN_FRONTEND=noninteractive apt-get -y -o DPkg::Lock::Timeout=300 "$@" >>"$log" 2>&1 </dev/null
}
