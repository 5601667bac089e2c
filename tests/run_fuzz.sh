#!/bin/sh
# Each fuzz target named, for SECONDS, from the corpus kept; what it learns goes to $BUILD/corpus, what it
# breaks on to $BUILD/found. Ends with 1 when anything was found.
set -u
: "${BUILD:?the build folder}" "${SECONDS:?seconds for each target}"
mkdir -p "$BUILD/found"
failed=0
for name in "$@"; do
    mkdir -p "$BUILD/corpus/$name"
    dictionary=
    [ -f "tests/fuzz/$name.dict" ] && dictionary=-dict=tests/fuzz/$name.dict
    # shellcheck disable=SC2086
    if LC_ALL=C "$BUILD/tests/fuzz/search_$name" -max_total_time="$SECONDS" -timeout=10 -rss_limit_mb=1024 \
        -max_len=4096 -print_final_stats=1 -artifact_prefix="$BUILD/found/$name-" $dictionary \
        "$BUILD/corpus/$name" "tests/fuzz/corpus/$name" > "$BUILD/$name.log" 2>&1; then
        runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$BUILD/$name.log")
        echo "ok   fuzz $name: $runs inputs in $SECONDS s"
    else
        echo "FAIL fuzz $name: see $BUILD/found and $BUILD/$name.log"
        tail -40 "$BUILD/$name.log"
        failed=1
    fi
done
exit $failed
