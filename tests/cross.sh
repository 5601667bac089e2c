#!/bin/sh
# usage: cross.sh ARCH...     aarch64, armhf, s390x
#
# Build for another processor and run golden runs and unit tests there, under qemu's user-mode emulation: the bytes
# are those of the golden files, so those of this machine. What is not installed is said, and that processor is
# skipped. On Debian 12, for each of them (DEB is arm64, armhf or s390x):
#
#   dpkg --add-architecture DEB; apt-get update
#   apt-get install qemu-user gcc-TRIPLET libc6-dev-DEB-cross libgmp-dev:DEB libinih-dev:DEB \
#       libcmocka-dev:DEB libjansson-dev:DEB libmpfr-dev:DEB
#
# Not beside gcc-multilib, which Debian keeps apart from cross compilers.
set -u
: "${MAKE:=make}"
failed=0

# A test that runs the program looks for it beside its own folder, by its own name: there stands the emulated one.
run_unit() {    # folder, emulator
    bad=0
    for t in "$1"/tests/test_*; do
        case $t in *.log | *.o | *.d) continue ;; esac
        $2 -0 "$1/run/tests/${t##*/}" "$t" > "$t.log" 2>&1 || { tail -20 "$t.log"; echo "FAIL $arch: ${t##*/}"; bad=1; }
    done
    return $bad
}

for arch; do
    case $arch in
        aarch64) triplet=aarch64-linux-gnu ;;
        armhf) triplet=arm-linux-gnueabihf ;;
        s390x) triplet=s390x-linux-gnu ;;
        *) echo "FAIL cross: no such processor: $arch"; exit 1 ;;
    esac
    emulator=qemu-${triplet%%-*}
    missing=
    for tool in "$triplet-gcc" "$emulator"; do
        command -v "$tool" > /dev/null || missing="$missing $tool"
    done
    if [ -n "$missing" ]; then
        echo "skip $arch: not installed:$missing"
        continue
    fi
    build=build/$arch
    mkdir -p "$build"
    with_pari=$(grep -l pari/pari.h tests/test_*.c)
    tests=$(for t in tests/test_*.c; do case $with_pari in *"$t"*) ;; *) echo "$t" ;; esac; done)
    programs=$(for t in $tests; do t=${t##*/}; echo "$build/tests/${t%.c}"; done)
    # shellcheck disable=SC2086
    $MAKE -s BUILD="$build" CC="$triplet-gcc" TEST_LIBS='-lcmocka -ljansson -lmpfr' "$build/crankcard" $programs \
        > "$build.log" 2>&1 || { tail "$build.log"; echo "FAIL $arch: does not build"; failed=1; continue; }
    mkdir -p "$build/run/tests"
    printf '#!/bin/sh\nexec %s %s "$@"\n' "$emulator" "$PWD/$build/crankcard" > "$build/run/crankcard"
    chmod +x "$build/run/crankcard"
    CRANKCARD=$build/run/crankcard tests/run_golden.sh compare || { echo "FAIL $arch: golden runs"; failed=1; continue; }
    run_unit "$build" "$emulator" || { failed=1; continue; }
    echo "ok   $arch: golden runs as above, $(echo "$programs" | wc -l) unit tests"
done
exit $failed
