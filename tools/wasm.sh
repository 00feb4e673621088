#!/bin/bash
# Build the core as WebAssembly: build/pumpwright.wasm, a module without imports; and beside it pumpwright-first.wasm, which is what a
# page needs for its first verdict in English (docs/page.md).
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
first=${output%.wasm}-first.wasm
mkdir -p "$work/first/door"
exec 9>"$work/lock"
flock 9 # two builds at once would share the objects

# What the page asks before anybody goes further than a verdict; the second module knows these alone (docs/page.md).
FIRST="check duty run prove size settings parameters faults"
awk -v first="$FIRST" 'BEGIN { split(first, list, " "); for (i in list) wanted[list[i]] }
    /^PW_VERB\(/ { name = $1; sub(/^PW_VERB\(/, "", name); sub(/,.*/, "", name); keep = name in wanted }
    /^(#|\/\*)/ { keep = 1 }
    keep { print }' core/door/verbs.inc >"$work/first/door/verbs.inc.new"
cmp -s "$work/first/door/verbs.inc.new" "$work/first/door/verbs.inc" || cp "$work/first/door/verbs.inc.new" "$work/first/door/verbs.inc"

# The bits must be those of the native build: no contraction, no fused multiply-add (tests/parity).
# Compiled and linked apart, so that no optimiser that happens to be installed can step in between. Across files
# (-flto), because browsers do not inline: a fifth quicker. What is walked in every step of a simulation is built for speed, the
# rest to be small: it is sent over the line.
# The stack stands first: an overflow traps instead of writing over data.
{
    cat <<RULES
builddir = $work
rule cc
  command = clang-14 --target=wasm32-wasi -std=c11 \$size -flto -mbulk-memory -mnontrapping-fptoint -msign-ext $
    -ffp-contract=off -U__FP_FAST_FMA -fno-common $
    -Wall -Wextra -Werror \$before -Icore -Ishell -MMD -MF \$out.d -c \$in -o \$out
  depfile = \$out.d
  deps = gcc
  description = wasm \$in
rule link
  command = wasm-ld-14 -m wasm32 --lto-O2 -L/usr/lib/wasm32-wasi /usr/lib/wasm32-wasi/crt1-reactor.o --entry _initialize $
    \$in -lc $(clang-14 --target=wasm32-wasi -print-libgcc-file-name) $
    -z stack-size=1048576 --stack-first --strip-all \$more -o \$out
  description = link \$out
RULES
    whole=() small=()
    for source in core/*/*.c shell/adapt/log_{door,fields,file,plan,words}.c \
        shell/adapt/doorway.c shell/adapt/csv.c shell/adapt/csv_columns.c shell/adapt/csv_time.c \
        shell/adapt/csv_trace.c shell/adapt/csv_pumps.c shell/adapt/csv_shape.c shell/adapt/csv_tell.c shell/adapt/csv_door.c \
        shell/adapt/side_door.c shell/wasm/*.c; do
        object=$work/${source//\//-}.o
        echo "build $object: cc $source"
        case $source in
        core/formula/rows_*) echo "  size = -Oz" ;;
        core/sim/* | core/element/* | core/formula/* | core/control/* | core/base/*) echo "  size = -O2" ;;
        *) echo "  size = -Oz" ;;
        esac
        whole+=("$object")
        case $source in
        core/paper/duty_paper.c) small+=("$object") ;; # its facts stand in the answer, too
        core/paper/* | core/say/de_* | core/say/german_*) ;;
        core/say/en_book.c | core/say/en_cli.c | core/say/en_fit.c | core/say/en_handover.c | core/say/en_log.c) ;;
        core/say/en_server.c) ;;
        shell/adapt/log_* | shell/adapt/csv* | shell/adapt/side_door.c | shell/wasm/readers.c) ;;
        core/door/requests.c) ;;
        *) small+=("$object") ;;
        esac
    done
    for source in core/door/requests.c shell/wasm/first/*.c; do
        object=$work/first-${source//\//-}.o
        printf 'build %s: cc %s | %s\n  size = -Oz\n  before = -I%s\n' "$object" "$source" "$work/first/door/verbs.inc" "$work/first"
        small+=("$object")
    done
    echo "build $output: link ${whole[*]}"
    # papers are never asked of it: a call of one traps
    printf 'build %s: link %s\n  more = --unresolved-symbols=ignore-all\n' "$first" "${small[*]}"
} >"$work/build.ninja.new"
cmp -s "$work/build.ninja.new" "$work/build.ninja" || cp "$work/build.ninja.new" "$work/build.ninja"
ninja --quiet -j "${JOBS:-2}" -f "$work/build.ninja" "$output" "$first"
