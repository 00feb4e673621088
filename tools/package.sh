#!/bin/bash
# A Debian package, and a tarball with a static program and the page in one file, from the source tree and a page that is built
# (make page; without it both lack the page). Both come to lie in build/package.
# usage: tools/package.sh [JOBS]    MAINTAINER="Name <mail>" in the environment: who answers for the package
set -euo pipefail
cd "$(dirname "$0")/.."

jobs=${1:-2}
version=$(sed -n 's/^project(pumpwright VERSION \([0-9.]*\) .*/\1/p' CMakeLists.txt)
architecture=$(dpkg --print-architecture)
maintainer=${MAINTAINER:-$(git log -1 --format='%an <%ae>' 2>/dev/null || true)}
maintainer=${maintainer:-$(id -un) <$(id -un)@$(hostname)>}
# The same source gives the same bytes: no time of today in it.
SOURCE_DATE_EPOCH=$(git log -1 --format=%ct 2>/dev/null || stat -c %Y CMakeLists.txt)
export SOURCE_DATE_EPOCH
out=$PWD/build/package
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$out"
rm -f "$out"/pumpwright*
umask 022

built() { # FOLDER TARGETS OPTIONS...
    cmake -S . -B "$1" -G Ninja -DCMAKE_BUILD_TYPE=Release -DPW_TESTS=OFF -DCMAKE_INSTALL_PREFIX=/usr "${@:3}" >/dev/null
    read -ra targets <<<"$2"
    ninja -C "$1" -j "$jobs" --quiet "${targets[@]}"
}
add_page() { # SHARE: the page, in pieces for the server and in one file
    [ -d build/page ] || { echo "tools/package.sh: build/page is not there; the page is left out (make page)" >&2; return 0; }
    mkdir -p "$1"
    cp -r build/page build/pumpwright.html "$1"
}

debian() {
    local root=$work/deb
    built build-package "pumpwright library"
    DESTDIR=$root cmake --install build-package --strip >/dev/null
    strip --strip-debug "$root"/usr/lib/*/libpumpwright.a
    add_page "$root/usr/share/pumpwright"
    local doc=$root/usr/share/doc/pumpwright
    { cat tools/package/copyright; sed -e '1,4d' -e 's/^$/./' -e 's/^/ /' LICENSE; } >"$doc/copyright"
    {
        printf 'pumpwright (%s) stable; urgency=medium\n\n' "$version"
        printf '  * What has changed stands in CHANGELOG.md of the source.\n\n'
        printf ' -- %s  %s\n' "$maintainer" "$(date -R -u -d "@$SOURCE_DATE_EPOCH")"
    } | gzip -9n >"$doc/changelog.gz"
    gzip -9n "$root/usr/share/man/man1/pumpwright.1"
    mkdir -p "$root/usr/share/lintian/overrides" "$root/usr/share/zsh/vendor-completions" "$root/DEBIAN"
    cp tools/package/lintian-overrides "$root/usr/share/lintian/overrides/pumpwright"
    mv "$root/usr/share/zsh/site-functions/_pumpwright" "$root/usr/share/zsh/vendor-completions/"
    rmdir "$root/usr/share/zsh/site-functions"

    # What the program and the library need, by dpkg's own knowledge of the libraries they are linked with.
    mkdir -p "$work/about/debian"
    printf 'Source: pumpwright\n\nPackage: pumpwright\nArchitecture: any\n' >"$work/about/debian/control"
    local depends size
    depends=$(cd "$work/about" && dpkg-shlibdeps -O "$root/usr/bin/pumpwright" "$root"/usr/lib/*/libpumpwright.so.0 2>/dev/null |
        sed -n 's/^shlibs:Depends=//p')
    size=$(du -sk --apparent-size "$root/usr" | cut -f1)
    sed -e "s/@VERSION@/$version/" -e "s/@ARCHITECTURE@/$architecture/" -e "s/@MAINTAINER@/$maintainer/" -e "s/@SIZE@/$size/" \
        -e "s/@DEPENDS@/$depends/" tools/package/control.in >"$root/DEBIAN/control"
    printf 'libpumpwright 0 pumpwright (>= %s)\n' "$version" >"$root/DEBIAN/shlibs"
    printf 'activate-noawait ldconfig\n' >"$root/DEBIAN/triggers"
    install -m 755 tools/package/postinst tools/package/prerm "$root/DEBIAN/"
    (cd "$root" && find usr -type f -print0 | sort -z | xargs -0 md5sum >DEBIAN/md5sums)
    chmod -R u=rwX,go=rX "$root"
    dpkg-deb --root-owner-group -Zxz --build "$root" "$out/pumpwright_${version}_$architecture.deb" >/dev/null
}

tarball() {
    local name=pumpwright-$version-linux-$architecture
    local root=$work/$name
    built build-alone pumpwright -DPW_ALONE=ON
    DESTDIR=$work/alone cmake --install build-alone --strip >/dev/null
    mkdir -p "$root"
    cp -r "$work/alone/usr/bin" "$work/alone/usr/share" "$root"
    add_page "$root/share/pumpwright"
    [ ! -e build/pumpwright.html ] || mv "$root/share/pumpwright/pumpwright.html" "$root/"
    cp LICENSE tools/package/READ-ME.txt "$root"
    chmod -R u=rwX,go=rX "$root"
    tar -C "$work" --sort=name --owner=0 --group=0 --numeric-owner --mtime="@$SOURCE_DATE_EPOCH" -c "$name" | gzip -9n >"$out/$name.tar.gz"
}

debian
tarball
if command -v lintian >/dev/null; then
    lintian --allow-root --fail-on error,warning "$out"/pumpwright_*.deb
fi
ls -l "$out" | awk 'NR > 1 {print $5, "bytes", $NF}'
