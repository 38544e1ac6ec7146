#!/bin/sh
# Installs this folder without a network:  sh install.sh [FOLDER]   (as root; /opt/wearbook where none is named)
# Each version gets a folder and an environment of its own. "current" leads to the newest, "previous" to the one before it.
set -eu
from=$(cd "$(dirname "$0")" && pwd)
into=${1:-/opt/wearbook}
own=$into/$(basename "$from")

mkdir -p "$own"
cp -R "$from/." "$own/"
python3 -m venv "$own/.venv"
"$own/.venv/bin/pip" install --quiet --no-index --find-links "$own/wheels" --requirement "$own/requirements.txt"
"$own/.venv/bin/python" -m compileall -q "$own/app"  # whoever serves it may not write there, and would compile at each start

if [ -L "$into/current" ] && [ "$(readlink "$into/current")" != "$own" ]; then
    ln -sfn "$(readlink "$into/current")" "$into/previous"
fi
ln -sfn "$own" "$into/current"
echo "Installed in $own. Start it from there: .venv/bin/python -m app serve; wearbook.service starts it with the machine."
