#!/bin/bash
# Install what a step needs from Debian 12's own packages, and nothing that is there already.
# usage: tools/deps.sh build | check | page | bench | fuzz | format | package | package-check    install for that step
#        tools/deps.sh node                                     print the path of a Node.js that will do
set -euo pipefail

step=${1:-build}
missing=()

# need PACKAGE TEST...: the package is wanted when the test fails.
need() {
    local package=$1
    shift
    "$@" >/dev/null 2>&1 || missing+=("$package")
}
have() { command -v "$1"; }
header() { [ -e "/usr/include/$1" ] || ls /usr/include/*/"$1"; }
# runtime START: a clang run-time library whose path under lib/ begins so.
runtime() { ls /usr/lib/llvm-14/lib/clang/14*/lib/"$1"*; }
# Any Node.js from version 18 on will do, under either of its names, in PATH or where Debian puts it.
find_node() {
    local name version
    for name in node nodejs /usr/bin/node /usr/bin/nodejs; do
        version=$("$name" --version 2>/dev/null) || continue
        version=${version#v}
        if [ "${version%%.*}" -ge 18 ] 2>/dev/null; then
            command -v "$name"
            return 0
        fi
    done
    return 1
}

need_build() {
    need gcc have cc
    need libc6-dev header stdio.h
    need cmake have cmake
    need ninja-build have ninja
    need pkg-config have pkg-config
    need libyaml-dev header yaml.h
    need zlib1g-dev header zlib.h
    need libmicrohttpd-dev header microhttpd.h
    need libgnutls28-dev pkg-config --exists gnutls
    need libjsmn-dev header jsmn.h
    need libcairo2-dev header cairo/cairo.h
    need librsvg2-dev pkg-config --exists librsvg-2.0
    need libsqlite3-dev header sqlite3.h
    need libpq-dev pkg-config --exists libpq
    need libpango1.0-dev pkg-config --exists pangocairo
    need libqrencode-dev header qrencode.h
    need libqpdf-dev header qpdf/qpdf-c.h
    need liblcms2-dev header lcms2.h
    need fonts-dejavu-core ls /usr/share/fonts/truetype/dejavu/DejaVuSans.ttf
}
need_clang() {
    need clang-14 have clang-14
    need libclang-rt-14-dev runtime linux/libclang_rt.fuzzer-
}
need_check() {
    need_build
    need_clang
    need lld-14 have wasm-ld-14
    need llvm-14 have llvm-nm-14
    need wasi-libc ls /usr/lib/wasm32-wasi/libc.a
    need libclang-rt-14-dev-wasm32 runtime wasi/libclang_rt.builtins-wasm32
    need libcmocka-dev header cmocka.h
    need libsundials-dev header cvode/cvode.h
    need python3 python3 -c 'import json, re, subprocess'
    need groff-base have groff
    need nodejs find_node
    need npm have npm
    need chromium test -x /usr/bin/chromium
    need firefox-esr test -x /usr/bin/firefox-esr
    need poppler-utils have pdftotext
    need qpdf have qpdf
    need postgresql test -n "$(ls /usr/lib/postgresql/*/bin/initdb 2>/dev/null)"
}

need_page() {
    need clang-14 have clang-14
    need lld-14 have wasm-ld-14
    need ninja-build have ninja
    need wasi-libc ls /usr/lib/wasm32-wasi/libc.a
    need libclang-rt-14-dev-wasm32 runtime wasi/libclang_rt.builtins-wasm32
    need libjsmn-dev header jsmn.h
    need nodejs find_node
    need npm have npm
}

# The package, the static program, and what looks at both.
need_package() {
    need_build
    need_page
    need dpkg-dev have dpkg-shlibdeps
    need lintian have lintian
}

case $step in
node) find_node; exit ;;
build) need_build ;;
check) need_check ;;
page) need_page ;;
bench)
    need_build
    need libsundials-dev header cvodes/cvodes.h
    need python3-yaml python3 -c 'import yaml'
    need gnuplot-nox have gnuplot
    need nodejs find_node
    ;;
fuzz) need_check ;;
package) need_package ;;
package-check) need_package; need debootstrap have debootstrap ;;
format) need clang-format-14 have clang-format-14; need clang-tidy-14 have clang-tidy-14; need_build ;;
*) echo "tools/deps.sh: unknown step \"$step\" (build, check, page, bench, fuzz, format, package, package-check)" >&2; exit 2 ;;
esac

[ ${#missing[@]} -eq 0 ] && exit 0

as_root=()
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null; then
        echo "These Debian packages are missing, and there is neither root nor sudo to install them: ${missing[*]}" >&2
        exit 1
    fi
    as_root=(sudo)
fi
if ! command -v apt-get >/dev/null; then
    echo "These are missing (names of Debian packages): ${missing[*]}" >&2
    exit 1
fi

echo "Installing Debian packages: ${missing[*]}"
install() {
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}
# The lists of a fresh machine are empty, those of an old one may be stale: fetch them only when needed.
known() { apt-cache show "${missing[@]}" >/dev/null 2>&1; }
if ! known || ! install; then
    "${as_root[@]}" apt-get update -qq
    install
fi
