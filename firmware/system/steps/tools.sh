#!/bin/sh
# What every step of firmware/install uses. Read by it, never run by itself.
# Wanted from it: into, the root that is installed to: empty for this computer, else a folder.

opt=/opt/airladder
# shellcheck disable=SC2034 # of user_step
data=/var/lib/airladder
started=$(date +%s)

say() { printf '%4d s  %s\n' "$(($(date +%s) - started))" "$*"; }
stop() { # EXIT-CODE SENTENCE
    code=$1
    shift
    printf 'install: %s\n' "$*" >&2
    exit "$code"
}
has_command() { command -v "$1" >/dev/null 2>&1; }
is_running_system() { [ -z "${into?}" ] && [ -d /run/systemd/system ]; }

# ---- files: each is there whole or not at all, whenever the power goes (rename(2) after a flush)

place() { # FILE PLACE [MODE]; a place that is the same already is not touched
    mode=${3-644}
    to=$into$2
    if [ ! -L "$to" ] && cmp -s "$1" "$to" && [ "$(stat -c %a "$to")" = "$mode" ]; then return; fi
    mkdir -p -- "$(dirname "$to")"
    cp -- "$1" "$to.new"
    chmod "$mode" "$to.new"
    sync "$to.new"
    mv -- "$to.new" "$to"
}
switch() { # NAME FOLDER: from now on /opt/airladder/NAME is the folder of that name beside it
    [ "$(readlink "$into$opt/$1")" != "$2" ] || return 0
    ln -sfn -- "$2" "$into$opt/$1.new"
    sync -f "$into$opt"
    mv -T -- "$into$opt/$1.new" "$into$opt/$1"
}
whole_folder() { # HALF NAME: what was made as HALF is whole now, and gets its name
    sync -f "$into$opt"
    rm -rf -- "$into${opt:?}/$2"
    mv -T -- "$into$opt/$1" "$into$opt/$2"
}
sum_of() { # FOLDER: a short word for all files in it, with their names
    (cd "$1" && find -L . -type f ! -path '*/__pycache__/*' ! -name '*.new' -print0 | LC_ALL=C sort -z | xargs -0 cksum) |
        cksum | cut -d ' ' -f 1
}
