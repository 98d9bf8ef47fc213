#!/usr/bin/env bash
# Locks the Python packages anew, for every system and each Python from 3.10, with the hash of each file.
set -euo pipefail
cd "$(dirname "$0")"
tools=$(mktemp -d)
trap 'rm -rf "$tools"' EXIT
python3 -m venv "$tools"
"$tools/bin/pip" install --quiet uv
for name in course ci class grading; do
  "$tools/bin/uv" pip compile --quiet --no-header --universal --python-version 3.10 --generate-hashes --upgrade "$name.in" -o "$name.txt"
done
