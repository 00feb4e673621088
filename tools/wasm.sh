#!/bin/bash
# Build the core as WebAssembly: build/pumpwright.wasm, a module without imports.
# usage: tools/wasm.sh [OUTPUT]
# Needs the Debian packages clang-14 lld-14 wasi-libc libclang-rt-14-dev-wasm32 libjsmn-dev ninja-build.
set -euo pipefail
cd "$(dirname "$0")/.."
output=${1:-build/pumpwright.wasm}

lacks=()
command -v clang-14 >/dev/null || lacks+=(clang-14)
command -v wasm-ld-14 >/dev/null || lacks+=(lld-14)
command -v ninja >/dev/null || lacks+=(ninja-build)
[ -e /usr/lib/wasm32-wasi/libc.a ] || lacks+=(wasi-libc)
[ -e /usr/include/jsmn.h ] || lacks+=(libjsmn-dev)
if command -v clang-14 >/dev/null && ! [ -e "$(clang-14 --target=wasm32-wasi -print-libgcc-file-name)" ]; then
    lacks+=(libclang-rt-14-dev-wasm32)
fi
if [ ${#lacks[@]} -gt 0 ]; then
    echo "tools/wasm.sh: these Debian packages are missing: ${lacks[*]}" >&2
    exit 1
fi

work=$(dirname "$output")/wasm
mkdir -p "$work"
exec 9>"$work/lock"
flock 9 # two builds at once would share the objects

# The bits must be those of the native build: no contraction, no fused multiply-add (tests/parity).
# Compiled and linked apart, so that no optimiser that happens to be installed can step in between. Across files
# (-flto), because browsers do not inline: a fifth quicker.
# The stack stands first: an overflow traps instead of writing over data.
{
    cat <<RULES
builddir = $work
rule cc
  command = clang-14 --target=wasm32-wasi -std=c11 -O2 -flto -mbulk-memory -mnontrapping-fptoint -msign-ext $
    -ffp-contract=off -U__FP_FAST_FMA -fno-common $
    -Wall -Wextra -Werror -Icore -Ishell -MMD -MF \$out.d -c \$in -o \$out
  depfile = \$out.d
  deps = gcc
  description = wasm \$in
rule link
  command = wasm-ld-14 -m wasm32 --lto-O2 -L/usr/lib/wasm32-wasi /usr/lib/wasm32-wasi/crt1-reactor.o --entry _initialize $
    \$in -lc $(clang-14 --target=wasm32-wasi -print-libgcc-file-name) $
    -z stack-size=1048576 --stack-first --strip-all -o \$out
  description = link \$out
RULES
    objects=()
    for source in core/*/*.c shell/adapt/log_{door,file,plan,words}.c \
        shell/adapt/doorway.c shell/adapt/csv.c shell/adapt/csv_columns.c shell/adapt/csv_time.c \
        shell/adapt/csv_trace.c shell/adapt/csv_pumps.c shell/adapt/csv_shape.c shell/adapt/csv_tell.c shell/adapt/csv_door.c \
        shell/adapt/side_door.c shell/wasm/*.c; do
        object=$work/${source//\//-}.o
        objects+=("$object")
        echo "build $object: cc $source"
    done
    echo "build $output: link ${objects[*]}"
} >"$work/build.ninja.new"
cmp -s "$work/build.ninja.new" "$work/build.ninja" || cp "$work/build.ninja.new" "$work/build.ninja"
ninja --quiet -j "${JOBS:-2}" -f "$work/build.ninja" "$output"
