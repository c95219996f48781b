#!/usr/bin/env bash
# Make the two lock files again: exact versions with hashes, without index addresses.
# Needs `uv` (any recent one); nobody but a maintainer who changes dependencies needs it.
set -euo pipefail
cd "$(dirname "$0")/.."
common=(--universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-emit-find-links --no-header --no-annotate)
uv pip compile pyproject.toml --group dev "${common[@]}" --quiet -o requirements-dev.lock
uv pip compile pyproject.toml --group build -c requirements-dev.lock "${common[@]}" --quiet -o requirements.lock
