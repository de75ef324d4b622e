#!/bin/sh
# Step of firmware/install: files of the system, units, the user, what is masked; and the list of them, by which they
# are taken away again.
# shellcheck disable=SC2154 # into, opt, here and data come from firmware/install

listed=$opt/places # every file and link outside /opt/airladder that is ours

wanted_places() { # KIND PLACE, a line each: file, unit, mask, on (a unit that is started by itself)
    (cd "$here/system/files" && find . -type f ! -name '*.new' | LC_ALL=C sort | sed 's/^\./file /')
    (cd "$here/system/units" && find . -type f ! -name '*.new' | LC_ALL=C sort | sed 's/^\./unit \/etc\/systemd\/system/')
    sed -n 's/^\([^# ][^ ]*\).*/mask \/etc\/systemd\/system\/\1/p' "$here/system/masked"
    (cd "$here/system/units" && grep -l '^WantedBy=' ./* | LC_ALL=C sort) | while IFS= read -r unit; do
        sed -n 's/^WantedBy=//p' "$here/system/units/$unit" | while IFS= read -r target; do
            printf 'on /etc/systemd/system/%s.wants/%s\n' "$target" "${unit#./}"
        done
    done
}
places_step() {
    wanted_places >"$into$listed.wanted"
    { missing_folders && old_places folder; } | LC_ALL=C sort -u >>"$into$listed.wanted"
    # Until all is done the list holds the old places and the new ones: whatever is cut off can be taken away.
    cat "$into$listed" "$into$listed.wanted" 2>/dev/null | LC_ALL=C sort -u >"$into$listed.both" || :
    keep_what_is_not_ours
    mv -- "$into$listed.both" "$into$listed"
    while read -r kind where; do
        case $kind in
            file) place "$here/system/files$where" "$where" "$(file_mode "$here/system/files$where")" ;;
            unit) place "$here/system/units/${where#/etc/systemd/system/}" "$where" ;;
            mask) link /dev/null "$where" ;;
            on) link "/etc/systemd/system/$(basename "$where")" "$where" ;;
        esac
    done <"$into$listed.wanted"
    { grep -vxFf "$into$listed.wanted" "$into$listed" || :; } | take_away_all
    LC_ALL=C sort -u "$into$listed.wanted" >"$into$listed.new"
    mv -- "$into$listed.new" "$into$listed"
    rm -f -- "$into$listed.wanted"
}
take_away_all() { # of KIND PLACE lines; folders last, the deepest first
    LC_ALL=C sort -r | awk '$1 == "folder" {f[++n] = $0; next} {print} END {for (i = 1; i <= n; i++) print f[i]}' |
        while read -r kind where; do take_away "$kind" "$where"; done
}
old_places() { # KIND: what an install before this one made
    grep "^$1 " "$into$listed" 2>/dev/null || :
}
missing_folders() { # which will be made, and so are ours too
    while read -r _ where; do
        folder=$(dirname "$where")
        while [ ! -d "$into$folder" ]; do
            echo "folder $folder"
            folder=$(dirname "$folder")
        done
    done <"$into$listed.wanted"
}
link() { # TARGET PLACE; a unit that somebody masked already stays as it is
    [ "$(readlink "$into$2")" != "$1" ] || return 0
    mkdir -p -- "$(dirname "$into$2")"
    ln -sfn -- "$1" "$into$2.new"
    mv -T -- "$into$2.new" "$into$2"
}
keep_what_is_not_ours() { # a file of the owner's in a place of ours is set aside, and comes back when ours goes
    while read -r _ where; do
        if [ -e "$into$where" ] || [ -L "$into$where" ]; then
            if ! grep -qF " $where" "$into$listed" 2>/dev/null && [ ! -e "$into$where.before-airladder" ]; then
                cp -a -- "$into$where" "$into$where.new"
                mv -T -- "$into$where.new" "$into$where.before-airladder"
            fi
        fi
    done <"$into$listed.wanted"
}
take_away() { # KIND PLACE
    if [ "$1" = folder ]; then
        rmdir -- "$into$2" 2>/dev/null || : # somebody else's files are in it
        return 0
    fi
    shift
    rm -f -- "$into$1" "$into$1.new"
    if [ -e "$into$1.before-airladder" ] || [ -L "$into$1.before-airladder" ]; then
        mv -T -- "$into$1.before-airladder" "$into$1"
    fi
}

# ---- the user, and the folder of what is practised

user_step() {
    systemd-sysusers ${into:+--root="$into"} airladder.conf >/dev/null 2>&1 ||
        stop 1 "the user airladder could not be made (systemd-sysusers failed)."
    mkdir -p -- "$into$data"
    owner=$(sed -n 's/^airladder:[^:]*:\([0-9]*\):\([0-9]*\):.*/\1:\2/p' "$into/etc/passwd")
    [ "$(stat -c %u:%g "$into$data")" = "$owner" ] || chown "$owner" "$into$data"
    [ "$(stat -c %a "$into$data")" = 755 ] || chmod 755 "$into$data"
}
