#!/usr/bin/env bash
# Sets shellcoat up in .venv of this checkout if need be, then starts the demo.
# Whatever follows the script's name goes to the demo: see `shellcoat demo --help`.
set -euo pipefail

# shellcheck source=resources/setup/prepare.sh
. "$(dirname -- "${BASH_SOURCE[0]}")/prepare.sh"

prepare demo
say "Starting the demo ..."
exec "$VENV_PYTHON" -P -m shellcoat demo "$@" # -P: the current folder lends no modules
