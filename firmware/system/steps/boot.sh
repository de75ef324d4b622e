#!/bin/sh
# Step of firmware/install: the boot configuration of the board: lines of config.txt between two marks, words of
# cmdline.txt, and the overlay of the codec. What the owner wrote stays, and a copy of it from before.
# shellcheck disable=SC2154 # into, opt and here come from firmware/install

mark_begin='# >>> airladder: these lines are made by firmware/install, and made again by it'
mark_end='# <<< airladder'
words_added=$opt/cmdline-added # those that were not there before

boot_folder() { # Debian 12 and 13 of the Raspberry Pi have it at /boot/firmware, older ones at /boot
    for folder in /boot/firmware /boot; do
        if [ -f "$into$folder/config.txt" ]; then echo "$folder" && return; fi
    done
}
boot_step() {
    boot=$(boot_folder)
    if [ -z "$boot" ]; then
        say 'there is no config.txt in /boot/firmware or /boot: this is no Raspberry Pi, and the boot is left as it is'
        return
    fi
    work=$(mktemp -d)
    dtc -q -@ -I dts -O dtb -o "$work/airladder-codec.dtbo" "$here/system/boot/airladder-codec.dts" ||
        stop 3 "the codec's overlay cannot be compiled; is device-tree-compiler installed?"
    mkdir -p -- "$into$boot/overlays"
    place_on_boot "$work/airladder-codec.dtbo" "$boot/overlays/airladder-codec.dtbo"
    keep_before "$boot/config.txt"
    keep_before "$boot/cmdline.txt"
    { without_ours "$into$boot/config.txt" && ours "$here/system/boot/config.txt"; } >"$work/config.txt"
    place_on_boot "$work/config.txt" "$boot/config.txt"
    [ ! -f "$into$boot/cmdline.txt" ] || add_words "$work" "$boot/cmdline.txt"
    rm -rf -- "$work"
}
place_on_boot() { # FILE PLACE: FAT has no modes
    cmp -s "$1" "$into$2" || { cp -- "$1" "$into$2.new" && sync "$into$2.new" && mv -- "$into$2.new" "$into$2" && sync -f "$into$2"; }
}
keep_before() { # FILE: as the owner had it before the first install
    [ ! -f "$into$1" ] || [ -f "$into$1.before-airladder" ] || place_on_boot "$into$1" "$1.before-airladder"
}
without_ours() { # FILE
    awk -v begin="$mark_begin" -v end="$mark_end" '$0 == begin {ours = 1} !ours {print} $0 == end {ours = 0}' "$1"
}
ours() { # FILE
    printf '%s\n' "$mark_begin"
    grep -v '^#' "$1"
    printf '%s\n' "$mark_end"
}
add_words() { # WORK FILE: cmdline.txt is one line
    line=$(line_of "$2")
    added=$(cat "$into$words_added" 2>/dev/null || :)
    while read -r word; do
        case $word in '#'*) continue ;; esac
        case " $line " in *" $word "*) ;; *) line="$line $word" added="$added $word" ;; esac
    done <"$here/system/boot/cmdline"
    echo "$added" >"$1/added" # listed first: a word that is listed and not there does no harm
    place "$1/added" "$words_added"
    put_line "$line" "$2"
}
line_of() { head -n 1 "$into$1" | sed 's/ *$//'; } # FILE, without the blanks that stand for a shorter line
# A FAT has no journal: the line, which lies in one sector, is written over in its place, and the file is never made shorter.
# Of a power cut the old line is left or the new one, and never none: without it the board would not start.
put_line() { # LINE FILE
    [ "$1" != "$(line_of "$2")" ] || return 0
    printf "%-$(($(wc -c <"$into$2") - 1))s\n" "$1" | dd of="$into$2" conv=notrunc,fsync status=none
}
boot_remove() {
    boot=$(boot_folder)
    [ -n "$boot" ] || return 0
    work=$(mktemp -d)
    without_ours "$into$boot/config.txt" >"$work/config.txt"
    place_on_boot "$work/config.txt" "$boot/config.txt"
    if [ -f "$into$words_added" ]; then
        line=$(line_of "$boot/cmdline.txt" | tr ' ' '\n' | grep -vxF -e "$(tr -s ' ' '\n' <"$into$words_added" | grep .)" | tr '\n' ' ')
        put_line "${line% }" "$boot/cmdline.txt"
    fi
    rm -f -- "$into$boot/overlays/airladder-codec.dtbo" "$into$boot"/*.before-airladder
    rm -rf -- "$work"
}
