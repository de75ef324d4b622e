#!/bin/sh
# Step of firmware/install: a Python of the program's own, with its libraries, at /opt/airladder/python.
# shellcheck disable=SC2154 # into, opt, here, wheels and requirements come from firmware/install
#
# All libraries come from PyPI, none from Debian: measured, Debian's own take 18 MB more memory (its aubio brings the
# whole of FFmpeg), and Debian 12's are too old. The figures are in tests/acceptance/install/RESULTS.md.

python_name() { # as in python3.13: what the root's own python3 is
    link=$(readlink "$into/usr/bin/python3" || echo)
    case $(basename "$link") in
        python3.1[123]) basename "$link" ;;
        *) stop 3 "the python3 of ${into:-this computer} is '${link:-missing}'; wanted is Python 3.11 to 3.13 (Debian 12 or 13)." ;;
    esac
}
choose_compiler() { # a Python of the same version, as bytecode is the same on every processor: ours, or the root's own
    if [ -z "$into" ] || has_command "$(python_name)"; then
        compiler=here
    elif chroot "$into" /usr/bin/python3 -c '' 2>/dev/null; then
        compiler=inside
    else
        stop 3 "no $(python_name) is here that could compile for $into; install it, or qemu-user-static to run the root's own."
    fi
}
compile() { # FOLDER NAME: its bytecode, now, for the root is read-only later; NAME is what it will be called
    # unchecked-hash: no look at a file's time, which a board without a clock need not get right.
    case $compiler in
        here) "$(python_name)" -m compileall -qf --invalidation-mode unchecked-hash -s "$into$1" -p "$2" "$into$1" ;;
        inside) chroot "$into" /usr/bin/python3 -m compileall -qf --invalidation-mode unchecked-hash -s "$1" -p "$2" "$1" ;;
    esac >/dev/null 2>&1
}
wanted_libraries() { # what pyproject.toml wants of a board; a line each
    "${into:+/usr/bin/}python3" - "$requirements" <<'END'
import sys, tomllib
with open(sys.argv[1], "rb") as file:
    project = tomllib.load(file)["project"]
print(*project["dependencies"], *project["optional-dependencies"]["board"], sep="\n")
END
}
python_step() {
    libraries=$(wanted_libraries)
    version=$(python_name)
    choose_compiler
    from=$(if [ -n "$wheels" ]; then sum_of "$wheels"; fi)
    python=python-$(printf '%s\n' "$version" "$libraries" "$from" | cksum | cut -d ' ' -f 1)
    if [ ! -d "$into$opt/$python" ]; then
        rm -rf -- "$into$opt/python-half"
        if [ -n "$into" ]; then frame_of_python; else make_python; fi
        # A library may bring a file that is of another Python: that one it never reads here.
        compile "$opt/python-half/lib" "$opt/python/lib" || :
        whole_folder python-half "$python"
    fi
    switch python "$python"
}
make_python() { # a virtual environment, filled by pip
    /usr/bin/python3 -m venv "$opt/python-half" >"$log" 2>&1 || stop_with_log "Python could not make $opt/python."
    # For the flags see firmware/setup: they are what aubio needs. PYPI: lgpio brings the C library that it is of.
    printf '%s\n' "$libraries" >"$opt/python-half/libraries"
    CFLAGS='-O2 -Wno-error=incompatible-pointer-types' PKG_CONFIG_LIBDIR=/nonexistent PKG_CONFIG_PATH='' PYPI=1 \
        PIP_USER=0 "$opt/python-half/bin/python" -B -m pip install --use-pep517 --no-cache-dir --no-compile --progress-bar off --no-input \
        --disable-pip-version-check ${wheels:+--no-index --find-links "$wheels"} -r "$opt/python-half/libraries" \
        >>"$log" 2>&1 </dev/null ||
        stop_with_log "pip could not get the libraries; is this board on line? What was here before is untouched."
    # -B: what is written now would stay, and is of the kind that looks at a file's time
    (cd "$opt/python-half" && bin/python -B -c 'import numpy, aubio, alsaaudio, soundfile, mido, gpiozero, luma.oled.device, PIL.Image') \
        >>"$log" 2>&1 || stop_with_log "a library does not load. What was here before is untouched."
    "$opt/python-half/bin/python" -B -m pip uninstall -q -y pip >>"$log" 2>&1 || : # the box has no network, and 12 MB less
}
frame_of_python() { # what `python3 -m venv` would make, for a root whose Python cannot be run here
    [ -n "$wheels" ] || stop 2 "--into wants --wheels too: a folder with the wheels of: $(echo "$libraries" | tr '\n' ' ')"
    half=$into$opt/python-half
    packages=$half/lib/$version/site-packages
    mkdir -p -- "$half/bin" "$packages"
    ln -s /usr/bin/python3 "$half/bin/python"
    ln -s python "$half/bin/python3"
    printf '%s\n' 'home = /usr/bin' 'include-system-site-packages = false' "version = ${version#python}" >"$half/pyvenv.cfg"
    printf '%s\n' "$libraries" >"$half/libraries"
    for wheel in "$wheels"/*.whl; do
        [ -e "$wheel" ] || stop 3 "there is no wheel in $wheels; wanted are: $(echo "$libraries" | tr '\n' ' ')"
        python3 -m zipfile -e "$wheel" "$packages" || stop 1 "$wheel cannot be unpacked."
    done
}
