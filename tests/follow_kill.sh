#!/bin/sh
# follow is killed (SIGKILL) at random moments, CRANKCARD_KILLS times (200), and started again each time.
# After each kill the journal must stand where the answered keys led, or one key further (a key whose change
# was on the disk, but not answered yet): no confirmed step lost, none invented.
set -u
. "$(dirname "$0")/follow_common.sh"
kills=${CRANKCARD_KILLS:-200}
seed=${CRANKCARD_SEED:-20240229}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
export LC_ALL=C XDG_STATE_HOME="$work/state" HOME="$work"
cd "$work" || exit 1

fail() {
    echo "FAIL follow_kill: seed $seed, round $round: $*"
    exit 1
}

echo q | "$CRANKCARD" follow --ready --check-every 0 9000 > out || exit 1
job=$("$CRANKCARD" follow --list | head -n 1)
next=0
round=0
amid=0
while [ "$round" -lt "$kills" ]; do
    round=$((round + 1))
    # A thousand keys; states: the next step after none of them, one, two ...
    awk -v seed="$((seed + round))" -v next_="$next" 'BEGIN {
        srand(seed); printf "%d\n", next_ > "states"
        for (i = 0; i < 1000; i++) {
            r = rand()
            if (r < 0.7) { print ""; next_++ }
            else if (r < 0.8) { if (next_ > 0) { print "b"; next_-- } else { print ""; next_++ } }
            else { next_ = int(rand() * 5000); print "g " next_ "\nl" }   # l: where it asks, left for later
            printf "%d\n", next_ > "states"
        }
        print int(rand() * 16) > "pause"
    }' > keys
    rm -f pipe out err
    : > out                 # the kill may come before the program has its streams
    : > err
    mkfifo pipe
    exec 9<> pipe           # kept open, so that the program waits for more keys
    "$CRANKCARD" follow --resume "$job" < pipe > out 2> err &
    pid=$!
    { echo; cat keys; } >&9     # first the yes to what must be seen
    sleep "$(printf '0.%03d' "$(cat pause)")"
    kill -KILL "$pid"
    wait "$pid" 2> /dev/null
    exec 9>&-
    [ -s err ] && fail "$(cat err)"
    answered=$(grep -c -e '^made ' -e '^back at ' -e '^gone to ' out)
    was=$(sed -n "$((answered + 1))p" states)
    or=$(sed -n "$((answered + 2))p" states)
    now=$(next_step)
    [ "$now" = "$was" ] || [ "$now" = "$or" ] ||
        fail "$answered keys answered, so step $was${or:+ or $or} comes next, not '$now'"
    [ "$answered" -gt 0 ] && [ "$answered" -lt 1000 ] && amid=$((amid + 1))
    next=$now
done
echo "ok   follow_kill: $kills kills, $amid of them amid the keys"
