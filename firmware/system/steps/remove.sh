#!/bin/sh
# firmware/install --remove: takes away what it put here.
# shellcheck disable=SC2154 # into, opt, data, listed and forget come from firmware/install

remove_all() {
    say 'taking the trainer away'
    if is_running_system; then
        for unit in airladder-off.path airladder.service airladder-socket.service; do
            systemctl stop "$unit" >/dev/null 2>&1 || :
        done
    fi
    if [ -f "$into$opt/system/seal" ]; then
        sh "$into$opt/system/seal" remove ${into:+--root "$into"} || say 'what seals the root could not be taken away; see above'
    fi
    boot_remove
    if [ -f "$into$listed" ]; then
        take_away_all <"$into$listed"
    fi
    rm -f -- "$into$listed".*
    if is_running_system; then systemctl daemon-reload; fi
    if [ "$forget" = 1 ]; then
        say 'forgetting the practice log and all settings'
        if is_running_system; then systemctl stop var-lib-airladder.mount >/dev/null 2>&1 || :; fi
        find "$into${data:?}" -xdev -mindepth 1 -delete 2>/dev/null || :
        rmdir -- "$into$data" 2>/dev/null || :
        forget_user
    fi
    rm -rf -- "$into${opt:?}"
    say "gone$([ "$forget" = 1 ] || echo "; what was practised lies in $data, and the user airladder is there whose it is")"
    say "Debian packages stay; those that this command can have brought: $({ wanted_packages && packages_for_building; } | tr '\n' ' ')"
}
forget_user() { # the groups of the devices may be others' too
    ! grep -q '^airladder:' "$into/etc/passwd" || userdel ${into:+--root "$into"} airladder >/dev/null 2>&1 || :
    ! grep -q '^airladder:' "$into/etc/group" || groupdel ${into:+--root "$into"} airladder >/dev/null 2>&1 || :
}
