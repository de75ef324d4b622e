#!/bin/sh
# Step of firmware/install: the program, its system files and the launcher, each a folder that is there whole or not at all.
# shellcheck disable=SC2154 # into, opt and here come from firmware/install

program_step() { # the name of a folder is the sum of what is in it, so that the same is never copied twice
    mkdir -p -- "$into$opt"
    chmod 755 "$into$opt"
    base=base-$(sum_of "$source_folder")
    if [ ! -d "$into$opt/$base" ]; then
        rm -rf -- "$into$opt/base-half"
        mkdir -p -- "$into$opt/base-half"
        copy_whole "$source_folder" "$into$opt/base-half/airladder"
        compile "$opt/base-half" "$opt/$base" ||
            stop 1 "the program does not compile; what was here before is untouched."
        whole_folder base-half "$base"
        for chosen in trial current before; do # versions from the drive, older than this one or not wanted any more
            rm -f -- "$into/var/lib/airladder/versions/$chosen"
        done
    fi
    system=system-$(sum_of "$here/system")
    if [ ! -d "$into$opt/$system" ]; then
        rm -rf -- "$into$opt/system-half"
        copy_whole "$here/system" "$into$opt/system-half"
        whole_folder system-half "$system"
    fi
    switch base "$base"
    switch system "$system"
    place "$here/install" "$opt/install" 755
    place "$here/system/start" "$opt/start" 755
}
copy_whole() { # FROM TO: links followed (the pin map is one), without bytecode; modes as they must be, whoever made the checkout
    cp -rL --preserve=timestamps -- "$1" "$2"
    find "$2" -depth \( -name __pycache__ -o -name '*.new' \) -exec rm -rf -- {} +
    find "$2" -type d -exec chmod 755 {} +
    find "$2" -type f -perm /111 -exec chmod 755 {} +
    find "$2" -type f ! -perm /111 -exec chmod 644 {} +
    chown -R 0:0 "$2"
}
file_mode() { if [ -x "$1" ]; then echo 755; else echo 644; fi; }
forget_older_folders() { # once the new ones are in use
    for name in base system python; do
        for folder in "$into$opt/$name"-*; do
            [ ! -d "$folder" ] || [ "$(readlink "$into$opt/$name")" = "$(basename "$folder")" ] || rm -rf -- "$folder"
        done
    done
}
