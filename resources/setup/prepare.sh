# shellcheck shell=bash
# Read by run_demo.sh and run_tests.sh: gives this checkout a .venv with all it needs.
#
# Every step looks first and does only what is missing, so a second run takes seconds.
# SHELLCOAT_PYTHON=/path/to/python chooses the interpreter by hand.
# Written for bash 3.2 too, which macOS still ships.

ROOT="$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/../.." && pwd -P)"
VENV="$ROOT/.venv"
VENV_PYTHON="$VENV/bin/python"

# What Qt's own libraries and its xcb, offscreen and multimedia plugins link to, by Debian
# package. "a|b" is one library under its newer and its older name.
QT_PACKAGES="libglib2.0-0t64|libglib2.0-0 libegl1 libgl1 libdbus-1-3 libfontconfig1 libfreetype6
    fonts-dejavu-core libbrotli1 libdrm2 libx11-6 libx11-xcb1 libxext6 libxrandr2 libxkbcommon0
    libxkbcommon-x11-0 libxcb1 libxcb-cursor0 libxcb-glx0 libxcb-icccm4 libxcb-image0
    libxcb-keysyms1 libxcb-randr0 libxcb-render0 libxcb-render-util0 libxcb-shape0 libxcb-shm0
    libxcb-sync1 libxcb-util1 libxcb-xfixes0 libxcb-xkb1 libpulse0"
# A virtual screen, a window manager and a hand on the mouse, for the window tests; readers of
# codes and of PDF files, and a broker, for what is printed and sent.
TEST_PACKAGES="xvfb xauth xdotool openbox libzbar0 poppler-utils mosquitto"

SUPPORTED_PYTHON='import sys; sys.exit(not (3, 11) <= sys.version_info[:2] < (3, 15))'

# Make .venv ready for a purpose: demo or tests.
prepare() {
    local packages="$QT_PACKAGES"
    [ "$1" != tests ] || packages="$packages $TEST_PACKAGES"
    ensure_venv
    ensure_system_packages "$packages"
    ensure_installed "$1"
    report_missing_libraries
    [ "$1" != tests ] || report_missing_programs
}

say() { printf '%s\n' "$*"; }

warn() { printf '%s\n' "$*" >&2; }

stop() {
    warn "Stopped: $*"
    exit 1
}

# Run a command with its output kept back, and show the end of it only if it fails.
quietly() {
    local output
    if ! output="$("$@" 2>&1 </dev/null)"; then
        printf '%s\n' "$output" | tail -n 30 >&2
        return 1
    fi
}

# --- the interpreter and its .venv ---

ensure_venv() {
    if venv_is_sound; then
        return
    fi
    local python
    python="$(find_python || true)"
    if [ -z "$python" ]; then
        install_python
        python="$(find_python)" || stop_without_python
    fi
    [ ! -e "$VENV" ] || say "Replacing .venv: it is broken, was moved, or is of another Python."
    say "Setting up $("$python" --version) in .venv ..."
    rm -rf -- "$VENV"
    quietly "$python" -m venv "$VENV" || stop "Python could not make .venv; its words are above."
}

# Whether .venv works, stands where it was made, and is of a Python that will do.
venv_is_sound() {
    [ -f "$VENV/pyvenv.cfg" ] || return 1
    case "$(sed -n 's/^command = //p' "$VENV/pyvenv.cfg")" in
        *" $VENV") ;;
        *) return 1 ;;
    esac
    "$VENV_PYTHON" -c "import pip, sqlite3, ssl; $SUPPORTED_PYTHON" >/dev/null 2>&1 || return 1
    [ -z "${SHELLCOAT_PYTHON:-}" ] || same_python "$SHELLCOAT_PYTHON" "$VENV_PYTHON"
}

same_python() {
    local code='import sys; print(sys.version, sys.base_prefix)'
    [ "$("$1" -c "$code" 2>/dev/null)" = "$("$2" -c "$code" 2>/dev/null)" ]
}

# Print the newest interpreter that works; a name on the path may be a shim that does not.
find_python() {
    local candidate
    if [ -n "${SHELLCOAT_PYTHON:-}" ]; then
        set -- "$SHELLCOAT_PYTHON"
    else
        set -- python3.13 python3.12 python3.11 python3
    fi
    for candidate in "$@"; do
        if python_works "$candidate"; then
            printf '%s\n' "$candidate"
            return
        fi
    done
    return 1
}

python_works() {
    "$1" -c "import venv, ensurepip, sqlite3, ssl; $SUPPORTED_PYTHON" >/dev/null 2>&1
}

# The system's own python3 first, then the newer ones some releases carry beside it.
install_python() {
    [ -z "${SHELLCOAT_PYTHON:-}" ] || return 0
    debian_like || return 0
    may_install || return 0
    refresh_package_lists
    local package
    for package in python3-venv python3.13-venv python3.12-venv python3.11-venv; do
        if apt-cache show "$package" >/dev/null 2>&1; then
            install_packages "$package" || return 0
            ! find_python >/dev/null || return 0
        fi
    done
}

stop_without_python() {
    if [ -n "${SHELLCOAT_PYTHON:-}" ]; then
        stop "SHELLCOAT_PYTHON=$SHELLCOAT_PYTHON is not a working Python from 3.11 to 3.14" \
            "with the modules venv, ensurepip, sqlite3 and ssl."
    fi
    if debian_like; then
        stop "no working Python from 3.11 to 3.14 was found. Have an administrator run" \
            "'apt-get install python3-venv', then start again."
    fi
    stop "no working Python from 3.11 to 3.14 was found. Install one (www.python.org, or your" \
        "system's packages), or name one: SHELLCOAT_PYTHON=/path/to/python3, then start again."
}

# --- the system's packages ---

debian_like() { command -v apt-get >/dev/null && command -v dpkg-query >/dev/null; }

# Whether this user may add packages; asks for a password at most once.
may_install() {
    [ "$(id -u)" -ne 0 ] || return 0
    command -v sudo >/dev/null || return 1
    [ -n "${PACKAGE_LISTS_FRESH:-}" ] ||
        say "Adding system packages needs an administrator; sudo may ask for your password."
    as_root true
}

# With nobody at the keyboard sudo must not wait for a password.
as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    elif (: </dev/tty) 2>/dev/null && [ -z "${CI:-}" ]; then
        sudo "$@"
    else
        sudo -n "$@"
    fi
}

# Once a run; lists that are partly stale may still do, so a failure is left to the install.
refresh_package_lists() {
    [ -z "${PACKAGE_LISTS_FRESH:-}" ] || return 0
    PACKAGE_LISTS_FRESH=yes
    say "Reading the system's package lists ..."
    quietly as_root apt-get update || warn "The package lists could not be refreshed; going on."
}

install_packages() {
    say "Installing system packages: $* ..."
    quietly as_root env DEBIAN_FRONTEND=noninteractive \
        apt-get install --yes --no-install-recommends -o DPkg::Lock::Timeout=120 "$@"
}

# Install those of the packages that are missing, or say which to ask for.
ensure_system_packages() {
    [ "$(uname)" != Darwin ] || say "macOS brings all that Qt needs; nothing more to install."
    debian_like || return 0
    local missing
    # shellcheck disable=SC2086 # here and below: lists of words
    missing="$(missing_packages $1)"
    [ -n "$missing" ] || return 0
    if may_install; then
        refresh_package_lists
        # shellcheck disable=SC2046,SC2086
        install_packages $(names_here $missing) || true
        # shellcheck disable=SC2086
        missing="$(missing_packages $missing)"
        [ -n "$missing" ] || return 0
    fi
    # shellcheck disable=SC2046,SC2086
    set -- $(names_here $missing)
    warn "Going on without some system packages. If anything fails, have an administrator run:"
    warn "    apt-get install $*"
}

missing_packages() {
    local installed entry
    installed="$(dpkg-query -W -f '${Package} ${db:Status-Status}\n' | sed -n 's/ installed$//p')"
    for entry in "$@"; do
        grep -qxE -- "${entry//./\\.}" <<<"$installed" || printf '%s\n' "$entry"
    done
}

# Print one name for each "newer|older": the first that this system knows. A name it does not
# know is left out while others are known, as apt-get would refuse them all for its sake.
names_here() {
    local entry name names known=""
    names="$(apt-cache pkgnames)"
    for entry in "$@"; do
        for name in ${entry//|/ }; do
            if grep -qxF -- "$name" <<<"$names"; then
                known="$known $name"
                break
            fi
        done
    done
    printf '%s\n' "${known:-${*##*|}}"
}

# --- the package itself ---

# Install the checkout unless pyproject.toml is still the one last installed from. The test
# setting holds everything the demo needs.
ensure_installed() {
    local target="." stamp="$VENV/installed-for-$1.toml"
    [ "$1" != tests ] || target=".[test,dev]"
    if cmp -s "$ROOT/pyproject.toml" "$stamp" ||
        cmp -s "$ROOT/pyproject.toml" "$VENV/installed-for-tests.toml"; then
        return
    fi
    say "Installing shellcoat and its libraries into .venv (minutes the first time) ..."
    # PIP_USE_PEP517 is what newer pips do anyway; older ones need it for the libraries that come
    # as source.
    (cd -- "$ROOT" && PIP_USE_PEP517=1 quietly \
        "$VENV_PYTHON" -m pip install --disable-pip-version-check --editable "$target") ||
        stop "pip could not install shellcoat; its words are above. If it reached no network," \
            "check the connection or your proxy settings. Start again to go on from here."
    cp -- "$ROOT/pyproject.toml" "$stamp"
}

# --- what only the finished .venv can tell ---

# Name the libraries Qt still lacks. Where Debian's packages are known they have had their word.
report_missing_libraries() {
    if debian_like || ! command -v ldd >/dev/null; then
        return
    fi
    local missing
    missing="$(qt_libraries_not_found)"
    [ -n "$missing" ] || return 0
    warn "Qt lacks these system libraries, so windows or sound may fail:"
    warn "    $missing"
    warn "Install the packages that hold them with your system's package manager. To find them,"
    warn "on Fedora: dnf provides '*/${missing%% *}'; on Arch: pacman -F ${missing%% *}"
}

qt_libraries_not_found() {
    set -- "$VENV"/lib/python3.*/site-packages/PySide6/Qt
    ldd "$1"/lib/libQt6{Widgets,Svg,PrintSupport,Multimedia}.so.6 \
        "$1"/plugins/platforms/lib{qxcb,qoffscreen}.so "$1"/plugins/multimedia/*.so 2>/dev/null |
        awk '/not found/ { print $1 }' | sort -u | paste -sd ' ' - || true
}

report_missing_programs() {
    local program missing=""
    for program in Xvfb xauth xdotool openbox pdftotext mosquitto; do
        # Debian keeps the broker where only the administrator looks.
        PATH="$PATH:/usr/sbin" command -v "$program" >/dev/null || missing="$missing $program"
    done
    [ -z "$missing" ] || warn "The tests lack these programs:$missing"
}
