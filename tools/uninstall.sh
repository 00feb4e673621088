#!/bin/bash
# Remove what `cmake --install` puts into a place: the same list of files, found by installing once more elsewhere.
# usage: tools/uninstall.sh BUILD PREFIX    DESTDIR from the environment
set -euo pipefail

build=$1 prefix=$2
destination=${DESTDIR:-}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
DESTDIR=$scratch cmake --install "$build" --prefix "$prefix" >/dev/null

cd "$scratch"
find . \( -type f -o -type l \) -print0 | while IFS= read -r -d '' name; do
    rm -f -- "$destination/$name"
done
# Folders of our own, deepest first; those that hold anything else stay.
find . -depth -type d -name '*pumpwright*' -print0 | while IFS= read -r -d '' folder; do
    rm -rf -- "$destination/$folder/__pycache__"
done
find . -depth -mindepth 1 -type d -path '*pumpwright*' -print0 | while IFS= read -r -d '' folder; do
    rmdir -- "$destination/$folder" 2>/dev/null || true
done
