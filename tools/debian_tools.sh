#!/bin/sh
# Installs the Debian packages that some tests need (tools/debian_packages.txt), where they are missing.
# Asks nothing, ever.  Without the right to install, it says what is missing, and the tests that need it are
# skipped; with CI=true that is a failure.
# Usage: sh tools/debian_tools.sh [--or-skip]   (--or-skip: a failed installation is no failure outside CI)
set -u
list=${TOOLS_LIST:-$(dirname "$0")/debian_packages.txt}
or_skip=${1:-}

missing_packages() { # every package of the list whose program is not on PATH, in one line
    sed 's/#.*//' "$list" | while read -r package program _; do
        [ -z "$package" ] || command -v "$program" >/dev/null 2>&1 || printf '%s ' "$package"
    done
}

stop() { # the sentence; whether to go on without CI (yes, no)
    if [ "${CI:-}" = true ]; then
        echo "$1: the tests that need them would be skipped, which CI does not allow." >&2
        exit 1
    fi
    echo "$1; the tests that need them are skipped." >&2
    [ "$2" = yes ] && exit 0
    exit 1
}

install() { # three tries, for a mirror that is busy
    for try in 1 2 3; do
        [ "$try" = 1 ] || sleep "${TOOLS_WAIT:-5}"
        # shellcheck disable=SC2086  # a list of words
        apt-get update -qq </dev/null &&
            apt-get install -qq -y -o Dpkg::Use-Pty=0 --no-install-recommends $1 </dev/null &&
            return 0
    done
    return 1
}

missing=$(missing_packages)
missing=${missing% }
[ -n "$missing" ] || exit 0
if [ "$(id -u)" != 0 ]; then
    stop "Debian packages missing: $missing (install as root: apt-get install $missing)" yes
fi
if ! command -v apt-get >/dev/null 2>&1; then
    stop "Programs missing: $missing, and there is no apt-get here to install them with" yes
fi
export DEBIAN_FRONTEND=noninteractive
if ! install "$missing"; then
    stop "apt-get could not install: $missing" "$([ "$or_skip" = --or-skip ] && echo yes || echo no)"
fi
missing=$(missing_packages)
missing=${missing% }
[ -z "$missing" ] || stop "installed, and still without its program: $missing" no
