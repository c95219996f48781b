#!/bin/sh
# Make the virtual environment $1 with the newest suitable Python on this machine (3.11 or newer).
set -eu
for name in "${PYTHON:-python3}" python3.14 python3.13 python3.12 python3.11 python; do
  if command -v "$name" >/dev/null 2>&1 &&
    "$name" -c 'import sys; sys.exit(0 if sys.version_info >= (3, 11) else 1)' 2>/dev/null; then
    if "$name" -m venv "$1"; then exit 0; fi
    echo "Python is here ($name) but cannot make a virtual environment." >&2
    echo "On Debian and Ubuntu: apt install python3-venv. Then call make again." >&2
    exit 2
  fi
done
echo "tendline needs Python 3.11 or newer and found none. Install it, or name it: make PYTHON=/path/to/python3.12" >&2
exit 2
