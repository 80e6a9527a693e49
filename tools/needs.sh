#!/bin/sh
# What must be on the machine before the virtual environment is made: says in one line what is missing and
# which Debian packages bring it, and stops.  Called by the Makefile; needs nothing itself but a shell.
# Usage: sh tools/needs.sh   (PYTHON names another python3)
set -u
python=${PYTHON:-python3}
missing=''
packages=''

lacks() { # what it is, Debian package
    missing="${missing:+$missing, }$1"
    packages="${packages:+$packages }$2"
}

quiet() { "$@" </dev/null >/dev/null 2>&1; }

compiles() { # a whole program, so that the C library's headers and the linker are there too
    scratch=$(mktemp -d) || return 1
    printf '#include <stdio.h>\nint main(void) { return puts("hut") < 0; }\n' >"$scratch/hut.c"
    quiet cc -o "$scratch/hut" "$scratch/hut.c"
    done_well=$?
    rm -rf "$scratch"
    return "$done_well"
}

quiet command -v make || lacks 'make' 'make'
if ! quiet "$python" -c 'import sys'; then
    lacks 'Python 3.11 or newer (python3)' 'python3'
    lacks 'its venv module' 'python3-venv'
    lacks 'its C headers' 'python3-dev'
elif ! quiet "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
    lacks "Python 3.11 or newer ($("$python" -V 2>&1) is too old)" 'python3'
else
    # Debian splits ensurepip off: venv imports, and then makes an environment without pip.
    quiet "$python" -c 'import venv, ensurepip; ensurepip.version()' ||
        lacks 'the venv module of python3 (ensurepip)' 'python3-venv'
    quiet "$python" -c 'import pathlib, sys, sysconfig
places = {sysconfig.get_config_var("INCLUDEPY"), sysconfig.get_path("include")} - {None}
sys.exit(not any(pathlib.Path(place, "Python.h").is_file() for place in places))' ||
        lacks 'the C headers of python3 (Python.h)' 'python3-dev'
fi
if ! quiet command -v cc; then
    lacks 'a C compiler (cc)' 'gcc libc6-dev'
elif ! compiles; then
    lacks 'what the C compiler (cc) needs to make a program' 'gcc libc6-dev'
fi

if [ -n "$missing" ]; then
    echo "hutwright needs what is missing here: $missing. On Debian: apt-get install $packages" >&2
    exit 1
fi
