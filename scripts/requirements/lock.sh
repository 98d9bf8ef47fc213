#!/usr/bin/env bash
# Locks the Python packages anew, for every system and each Python from 3.10, with the hash of each file. Only what comes
# built, as set-up takes nothing else: a package that must be compiled would run its own code while it is installed.
set -euo pipefail
cd "$(dirname "$0")"
tools=$(mktemp -d)
trap 'rm -rf "$tools"' EXIT
python3 -m venv "$tools"
"$tools/bin/pip" install --quiet uv
for name in course ci class record site; do
  "$tools/bin/uv" pip compile --quiet --no-header --universal --python-version 3.10 --only-binary :all: --generate-hashes \
    --upgrade "$name.in" -o "$name.txt"
done
