#!/usr/bin/env bash
# Do the fuzz targets still compile? Uses the usual compiler; only running them needs a nightly one and cargo-fuzz.
set -euo pipefail
cd "$(dirname "$0")"
cargo check --locked --quiet --bins "$@"
