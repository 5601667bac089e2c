#!/bin/sh
# The disk is full while a job is followed: a clear message, nothing lost, and it goes on when there is room.
# Once with a limit on file sizes, once (root only) with a small file system of its own.
set -u
. "$(dirname "$0")/follow_common.sh"
work=$(mktemp -d) || exit 1
mounted=
cleanup() {
    [ -n "$mounted" ] && umount "$work/small"
    rm -rf "$work"
}
trap cleanup EXIT
export LC_ALL=C XDG_STATE_HOME="$work/state" HOME="$work"
cd "$work" || exit 1

fail() {
    echo "FAIL follow_full: $*"
    exit 1
}

# ---- a limit of eight blocks of 512 bytes ----
(
    ulimit -f 8
    trap '' XFSZ
    yes '' | head -n 200 | "$CRANKCARD" follow --ready 4000
    echo "status $?"
) 2> err | cat > out
grep -q '^status 2$' out || fail "status is not 2: $(tail -n 1 out)"
grep -q '^NOT SAVED: cannot save this in .*File too large; nothing is lost, the place is as before$' out ||
    fail "no clear message: $(grep 'NOT SAVED' out | head -n 1)"
grep -q '^crankcard: the last change was not saved; the place is as the journal has it: step [0-9]* comes next$' err ||
    fail "no clear last word: $(cat err)"
made=$(grep -c '^made ' out)
[ "$made" -gt 10 ] || fail "only $made steps before the limit"
[ "$(next_step)" = "$made" ] || fail "$made steps were confirmed, the journal has '$(next_step)'"
printf '\n\n' | "$CRANKCARD" follow --ready 4000 > out || fail "it does not go on"
[ "$(next_step)" = "$((made + 1))" ] || fail "it does not go on where it was"
"$CRANKCARD" follow --forget divide-4000 > out || fail "forget"

# ---- standard output that cannot be written ----
if [ -e /dev/full ]; then
    printf '\n\n\n' | "$CRANKCARD" follow --ready 7 > /dev/full 2> err
    [ $? = 2 ] || fail "a full standard output is not status 2"
    grep -q 'cannot write to standard output' err || fail "a full standard output: $(cat err)"
    [ "$(next_step)" = 0 ] || fail "steps were made that were never shown"
    "$CRANKCARD" follow --forget divide-7 > out || fail "forget"
fi

# ---- a file system of 64 KiB, and room made while the program waits ----
mkdir small
if mount -t tmpfs -o size=64k tmpfs small 2> err; then
    mounted=yes
    export XDG_STATE_HOME="$work/small"
    mkfifo pipe
    exec 9<> pipe
    "$CRANKCARD" follow --ready 4000 < pipe > out 2> err &
    pid=$!
    tries=0
    until grep -q START out; do
        tries=$((tries + 1))
        [ $tries -gt 100 ] && fail "no start on the small file system"
        sleep 0.05
    done
    dd if=/dev/zero of=small/filler bs=4096 count=100 2> dd.err     # takes all that is left
    yes '' | head -n 100 >&9
    echo 'x' >&9
    tries=0
    until grep -q 'nothing else does anything' out; do
        tries=$((tries + 1))
        [ $tries -gt 200 ] && fail "it does not answer when the disk is full"
        sleep 0.05
    done
    grep -q '^NOT SAVED: .*No space left on device' out || fail "the full disk is not told of"
    made=$(grep -c '^made ' out)
    [ "$(next_step)" = "$made" ] || fail "$made steps were confirmed, the journal has '$(next_step)'"
    rm small/filler
    printf '\nq\n' >&9
    wait "$pid"
    [ $? = 0 ] || fail "it does not end well when room was made: $(cat err)"
    exec 9>&-
    [ "$(next_step)" = "$((made + 1))" ] || fail "the same step is not made when there is room again"
    # No room for the journal itself.
    "$CRANKCARD" follow --forget divide-4000 > out || fail "forget"
    dd if=/dev/zero of=small/filler bs=4096 count=100 2> dd.err
    echo q | "$CRANKCARD" follow --ready 57 > out 2> err
    [ $? = 2 ] || fail "no journal, and no status 2"
    grep -q 'No space left on device' err || fail "no journal: $(cat err)"
    rm small/filler
    echo "ok   follow_full: size limit, full output, small file system"
else
    echo "ok   follow_full: size limit, full output (skipped: no small file system, mounting needs root)"
fi
