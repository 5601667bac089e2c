#!/bin/sh
# The manual page is clean roff, and every option of --help stands in it.
set -u
: "${CRANKCARD:?set it to the program to test}"
failed=0
for page in docs/*.[157]; do
    warnings=$(groff -man -Tutf8 -ww -z "$page" 2>&1)
    [ -z "$warnings" ] || { echo "FAIL $page: $warnings"; failed=1; }
    if command -v mandoc > /dev/null; then
        mandoc -T lint -W warning "$page" || { echo "FAIL $page: mandoc finds something"; failed=1; }
    else
        echo "skip mandoc is not installed: $page is checked by groff alone"
    fi
done
commands=$("$CRANKCARD" --help | sed -n '/^commands:/,/^$/s/^  \([a-z]*\) .*/\1/p')
[ -n "$commands" ] || { echo "FAIL no commands in --help"; exit 1; }
for command in $commands; do
    grep -q "^\.B[RI]* $command\b" docs/crankcard.1 || { echo "FAIL docs/crankcard.1: no command $command"; failed=1; }
    for option in $("$CRANKCARD" "$command" --help | sed -n 's/^  \(-.,\|   \) --\([a-z-]*\).*/\2/p'); do
        grep -q -e "\\\\-\\\\-$(echo "$option" | sed 's/-/\\\\\\\\-/g')\b" docs/crankcard.1 ||
            { echo "FAIL docs/crankcard.1: no option --$option ($command)"; failed=1; }
    done
done
[ $failed = 0 ] && echo "ok   manual pages"
exit $failed
