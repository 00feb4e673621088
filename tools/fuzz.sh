#!/bin/bash
# Throw broken input at each reader for a while (tests/fuzz): tools/fuzz.sh [SECONDS] [TARGET...]; 0: only build them
# What breaks is kept in build-fuzz/found; add it to tests/fuzz/corpus/TARGET once it is repaired.
# Needs the Debian packages clang-14 libclang-rt-14-dev, besides what the build needs.
set -euo pipefail
cd "$(dirname "$0")/.."
seconds=${1:-60}
shift || true
targets=("$@")
[ ${#targets[@]} -gt 0 ] || targets=(json units order csv sheet door)
command -v clang-14 >/dev/null || { echo "tools/fuzz.sh: the Debian package clang-14 is missing" >&2; exit 1; }

build=${PW_FUZZ_BUILD:-build-fuzz}
sanitizers=-fsanitize=fuzzer-no-link,address,undefined
# Debug: broken input is looked for, not speed, and what is built for a try of two seconds should be built soon.
cmake -S . -B "$build" -G Ninja -DCMAKE_C_COMPILER=clang-14 -DCMAKE_BUILD_TYPE=Debug -DPW_FUZZ=ON -DPW_TESTS=ON -DPW_WERROR=OFF \
    -DCMAKE_C_FLAGS_DEBUG="-O1 -g1" \
    -DCMAKE_C_FLAGS="$sanitizers -fno-sanitize-recover=all -fno-omit-frame-pointer" >/dev/null
ninja --quiet -j "${JOBS:-2}" -C "$build" "${targets[@]/#/fuzz_}"
[ "$seconds" != 0 ] || exit 0

found=0
mkdir -p "$build/found"
for target in "${targets[@]}"; do
    mkdir -p "$build/corpus/$target"
    log=$build/found/$target.log
    echo "fuzz $target, $seconds s"
    if "$build/tests/fuzz/fuzz_$target" -max_total_time="$seconds" -timeout=60 -rss_limit_mb=3000 -max_len=20000 \
        -print_final_stats=1 -artifact_prefix="$build/found/$target-" \
        "$build/corpus/$target" "tests/fuzz/corpus/$target" >"$log" 2>&1; then
        grep -E 'stat::number_of_executed_units|stat::slowest' "$log" | sed 's/^stat::/  /'
    else
        found=1
        echo "  broke: see $log"
        grep -E 'does not hold|ERROR: |runtime error|Test unit written' "$log" | head -5 | sed 's/^/  /'
    fi
done
exit $found
