#!/usr/bin/env bash
# Builds the wheel and tries it the way a person would who never saw the checkout: in an empty
# environment, from another folder, with a home of its own.
set -euo pipefail
cd -- "$(dirname -- "$0")/.."

checkout="$(pwd -P)"
trial="$(mktemp -d)"
trap 'rm -rf -- "$trial"' EXIT
mkdir "$trial/home" "$trial/elsewhere"

fail() {
    printf 'The wheel failed: %s\n' "$*" >&2
    exit 1
}

# Run a command and show the end of what it prints only if it fails.
quietly() {
    "$@" >"$trial/log" 2>&1 || {
        tail -n 30 "$trial/log" >&2
        return 1
    }
}

# Run a command of the trial with nothing of the checkout or the caller's settings in reach.
away() {
    (
        cd -- "$trial/elsewhere"
        unset PYTHONPATH PYTHONHOME XDG_DATA_HOME XDG_CONFIG_HOME XDG_STATE_HOME XDG_CACHE_HOME
        unset VIRTUAL_ENV
        HOME="$trial/home" QT_QPA_PLATFORM=offscreen "$@"
    )
}

echo "Building the wheel ..."
quietly .venv/bin/python -m build --wheel --outdir "$trial" . || fail "it does not build"
wheel="$(echo "$trial"/shellcoat-*.whl)"

echo "Installing $(basename "$wheel") into an empty environment ..."
.venv/bin/python -m venv "$trial/venv"
PIP_USE_PEP517=1 quietly "$trial/venv/bin/python" -m pip install --disable-pip-version-check \
    "$wheel" || fail "it does not install"

package="$(away "$trial/venv/bin/python" -c \
    'import pathlib, shellcoat; print(pathlib.Path(shellcoat.__file__).resolve().parent)')"
case "$package" in
    "$(cd -- "$trial" && pwd -P)"/venv/*) ;;
    *) fail "shellcoat was imported from $package" ;;
esac
for folder in resources demo_projects; do
    diff -rq -x __pycache__ "$checkout/$folder" "$package/$folder" ||
        fail "its $folder are not those of the checkout"
done

echo "Running it from another folder ..."
version="$(away "$trial/venv/bin/shellcoat" --version)"
echo "shellcoat --version: $version"
case "$version" in
    *"$(basename "$wheel" | cut -d - -f 2)"*) ;;
    *) fail "its --version is not that of $(basename "$wheel")" ;;
esac
away "$trial/venv/bin/shellcoat" demo --no-window --out "$trial/demo"
written="$(find "$trial/demo" -type f -size +0 | wc -l)"
[ "$written" -gt 0 ] || fail "the demo wrote nothing"
echo "The wheel works: its demo wrote $((written)) files."
