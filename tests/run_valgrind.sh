#!/bin/sh
# Two unit suites and a few whole runs of the program under Valgrind.
set -u
: "${CRANKCARD:?set it to the program to test}" "${BUILD:?the build folder}"
check() {
    valgrind --quiet --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite,indirect "$@" \
        > /dev/null 2> "$BUILD/valgrind.log"
    status=$?
    if [ $status -eq 9 ]; then
        echo "FAIL valgrind $*"
        cat "$BUILD/valgrind.log"
        exit 1
    fi
}
check "$BUILD/tests/test_head"
check "$BUILD/tests/test_angle"
check "$CRANKCARD" 57
check "$CRANKCARD" 127 --format jsonl
check "$CRANKCARD" 383 --head small-tilting-geared --format csv
check "$CRANKCARD" methods 127 --all
check "$CRANKCARD" check 106 1 7/39+29/41
check "$CRANKCARD" 10^40
echo "ok   valgrind"
