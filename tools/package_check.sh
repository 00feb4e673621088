#!/bin/bash
# Try what tools/package.sh made on a bare Debian 12: install the package, use the program, its page and the Python module, remove it;
# unpack the tarball where there are no libraries. Needs root, debootstrap and a Debian mirror.
# usage: tools/package_check.sh [ROOT]    ROOT: a debootstrap that is kept for the next time (build/root)
set -euo pipefail
cd "$(dirname "$0")/.."

kept=${1:-build/root}
mirror=${MIRROR:-http://deb.debian.org/debian}
out=$PWD/build/package
if [ ! -e "$kept/etc/debian_version" ]; then
    echo "a bare Debian 12 in $kept (some minutes)"
    mkdir -p "$kept"
    debootstrap --variant=minbase bookworm "$kept" "$mirror" >"$kept.log" || { tail -5 "$kept.log" >&2; exit 1; }
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
root=$work/root

fresh() {
    rm -rf "$root"
    cp -a "$kept" "$root"
    cp /etc/resolv.conf "$root/etc/resolv.conf" 2>/dev/null || true
}
# With /proc, as any running system has it; in a name space of its own, so that it is gone with the command.
inside() {
    unshare --mount bash -c 'mount --bind /proc "$0/proc" && exec chroot "$0" /usr/bin/env -i "$@"' "$root" \
        PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive "$@"
}
expect() { # WORDS COMMAND...: what it prints holds the words
    local words=$1 said
    shift
    said=$("$@" 2>&1) || { echo "failed: $*"; echo "$said" | tail -20; exit 1; }
    [[ $said == *"$words"* ]] || { echo "not said by $*: $words"; echo "$said" | tail -20; exit 1; }
    echo "ok: ${*:2} -> $words"
} >&2
# The page as a browser asks for it, without a browser: bash alone is in a bare root.
serving() { # PROGRAM
    inside bash -c '"$1" serve --port 8651 >/dev/null 2>&1 & server=$!
        for i in $(seq 50); do sleep 0.1; (exec 3<>/dev/tcp/127.0.0.1/8651) 2>/dev/null && break; done
        exec 3<>/dev/tcp/127.0.0.1/8651
        printf "GET / HTTP/1.1\r\nHost: 127.0.0.1:8651\r\nConnection: close\r\n\r\n" >&3
        cat <&3; kill $server; wait $server || true' - "$1"
}
files() { (cd "$root" && find usr etc opt -xdev ! -type d | LC_ALL=C sort); }

package=$(ls "$out"/pumpwright_*.deb)
archive=$(ls "$out"/pumpwright-*.tar.gz)
version=$(dpkg-deb -f "$package" Version)

echo "the package $(basename "$package")"
fresh
inside apt-get update -qq
inside apt-get install -y -qq --no-install-recommends python3 >/dev/null 2>&1
files >"$work/before"
cp "$package" "$root/tmp/"
inside apt-get install -y -qq --no-install-recommends "/tmp/$(basename "$package")" >"$work/log" 2>&1 || { tail -20 "$work/log"; exit 1; }
examples=/usr/share/doc/pumpwright/examples
expect "pumpwright $version" inside pumpwright --version
expect "House on a bore" inside pumpwright check $examples/house.yaml
expect "faults tried" inside pumpwright prove $examples/nursery.yaml --years 0 --sweep 4 --horizon "6 h"
expect "PNG" inside bash -c "pumpwright run $examples/nursery.yaml --png /tmp/x.png >/dev/null && head -c 4 /tmp/x.png | tr -d '\\211'"
expect "<title>" serving pumpwright
expect "$version" inside python3 -c "import pumpwright; print(pumpwright.version())"
expect "bore pump" inside python3 -c "import pumpwright; print(pumpwright.duty('$examples/nursery.yaml')['duties'][0]['pump'])"
[ -e "$root/usr/share/pumpwright/pumpwright.html" ] || { echo "the page in one file is missing" >&2; exit 1; }
expect "pumpwright" inside bash -c ". /usr/share/bash-completion/completions/pumpwright && complete -p pumpwright"
expect "libpumpwright" inside ldconfig -p

echo "the library of the package, with a compiler"
inside apt-get install -y -qq --no-install-recommends gcc libc6-dev pkg-config libyaml-dev >/dev/null 2>&1
cp examples/library.c "$root/tmp/"
for how in "" "-static"; do
    inside bash -c "cd /tmp && gcc $how -o library library.c \$(pkg-config --cflags --libs ${how:+--static} pumpwright)"
    expect "m3" inside /tmp/library
done
inside apt-get purge -y -qq gcc libc6-dev pkg-config libyaml-dev >/dev/null 2>&1
inside apt-get purge -y -qq pumpwright >/dev/null 2>&1
left=$(files | comm -13 "$work/before" - | grep -i pumpwright || true)
[ -z "$left" ] || { echo "left behind after purge: $left" >&2; exit 1; }
echo "ok: nothing of it is left after purge"

echo "the tarball $(basename "$archive")"
fresh
tar -C "$root/opt" -xzf "$archive"
alone=/opt/$(basename "$archive" .tar.gz)
expect "pumpwright $version" inside "$alone/bin/pumpwright" --version
expect "faults tried" inside "$alone/bin/pumpwright" prove "$alone/share/doc/pumpwright/examples/house.yaml" --years 0 --sweep 2 --horizon "6 h"
expect "<title>" serving "$alone/bin/pumpwright"
[ -e "$root$alone/pumpwright.html" ] || { echo "the page in one file is missing" >&2; exit 1; }
expect "not a dynamic executable" bash -c "ldd '$root$alone/bin/pumpwright' 2>&1 || true"
echo "both work on a bare Debian $(cat "$root/etc/debian_version")"
