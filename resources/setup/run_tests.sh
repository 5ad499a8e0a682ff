#!/usr/bin/env bash
# Sets shellcoat up for testing in .venv of this checkout if need be, then runs the tests.
# Whatever follows the script's name goes to pytest, for instance: -k moist_air
set -euo pipefail

# shellcheck source=resources/setup/prepare.sh
. "$(dirname -- "${BASH_SOURCE[0]}")/prepare.sh"

prepare tests
cd -- "$ROOT"
if [ "$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 1)" -ge 2 ]; then
    set -- -n 2 "$@"
fi
say "Running the tests ..."
# Widgets are tested without a screen; the window tests bring a virtual one of their own.
export QT_QPA_PLATFORM="${QT_QPA_PLATFORM:-offscreen}"
exec "$VENV_PYTHON" -m pytest "$@"
