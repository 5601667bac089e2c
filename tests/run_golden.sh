#!/bin/sh
# Golden runs: every tests/cli/NAME.sh is run from the top of the source with CRANKCARD set; what it prints and
# its exit status must be those of NAME.stdout, NAME.stderr and NAME.exit (an absent file: nothing, 0).
# With "rewrite" as first argument the files are written anew; read the diff like code.
set -u
: "${CRANKCARD:?set it to the program to test}"
mode=${1:-compare}
[ $# -gt 0 ] && shift
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
# Lines are filled, and long names cut, with the folder's name in them: its length is the same wherever TMPDIR is.
work=$(mktemp -d /tmp/tmp.XXXXXXXXXX) || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' HUP INT TERM
# Nothing of the user's own may reach a run.
mkdir "$work/home" "$work/tmp"
export CRANKCARD LC_ALL=C HOME="$work/home" TMPDIR="$work/tmp"
unset CRANKCARD_HEAD XDG_CONFIG_HOME XDG_DATA_HOME XDG_DATA_DIRS XDG_STATE_HOME
failed=0
count=0

compare() {     # expected file (may be absent), real file, what
    if [ -e "$1" ]; then expected=$1; else expected=/dev/null; fi
    if ! cmp -s "$expected" "$2"; then
        echo "FAIL $name: $3 differs"
        diff -u "$expected" "$2" | head -40
        return 1
    fi
}

keep() {        # real file, golden file
    if [ -s "$1" ]; then cp "$1" "$2"; else rm -f "$2"; fi
}

for script in "${@:-tests/cli/*.sh}"; do
    for file in $script; do
        name=$(basename "$file" .sh)
        base=tests/cli/$name
        sh "$file" > "$work/out" 2> "$work/err" < /dev/null
        echo $? > "$work/exit"
        sed "s#$work/tmp#TMPDIR/////////////////#g" "$work/out" > "$work/told" && mv "$work/told" "$work/out"   # as long
        [ "$(cat "$work/exit")" = 0 ] && : > "$work/exit"
        count=$((count + 1))
        if [ "$mode" = rewrite ]; then
            keep "$work/out" "$base.stdout"
            keep "$work/err" "$base.stderr"
            keep "$work/exit" "$base.exit"
            continue
        fi
        compare "$base.stdout" "$work/out" "standard output" || failed=1
        compare "$base.stderr" "$work/err" "standard error" || failed=1
        compare "$base.exit" "$work/exit" "exit status" || failed=1
    done
done
[ $failed = 0 ] && echo "ok   $count golden runs"
exit $failed
