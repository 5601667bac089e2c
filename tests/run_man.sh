#!/bin/sh
# The manual pages are clean roff; every command and option of --help stands in crankcard.1; what is made from
# --help (its commands and options, and the completion) is current, and bash can use the completion.
set -u
: "${CRANKCARD:?set it to the program to test}"
failed=0
version=$("$CRANKCARD" --version | cut -d ' ' -f 2)
for page in docs/*.[157]; do
    head -n 1 "$page" | grep -qF "\"crankcard $version\"" || { echo "FAIL $page: not of version $version"; failed=1; }
    warnings=$(groff -man -Tutf8 -ww -z "$page" 2>&1)
    [ -z "$warnings" ] || { echo "FAIL $page: $warnings"; failed=1; }
    if command -v mandoc > /dev/null; then
        mandoc -T lint -W warning "$page" || { echo "FAIL $page: mandoc finds something"; failed=1; }
    else
        echo "skip mandoc is not installed: $page is checked by groff alone"
    fi
done
"${PYTHON:-python3}" docs/generate.py "$CRANKCARD" --check || failed=1
commands=$("$CRANKCARD" --help | sed -n '/^commands:/,/^$/s/^  \([a-z]*\) .*/\1/p')
[ -n "$commands" ] || { echo "FAIL no commands in --help"; exit 1; }
for command in $commands; do
    grep -q "^\.SS crankcard $command\b" docs/crankcard.1 || { echo "FAIL docs/crankcard.1: no command $command"; failed=1; }
    for option in $("$CRANKCARD" "$command" --help | sed -n 's/^  \(-.,\|   \) --\([a-z0-9-]*\).*/\2/p'); do
        grep -qF -e "\\-\\-$(echo "$option" | sed 's/-/\\-/g')" docs/crankcard.1 ||
            { echo "FAIL docs/crankcard.1: no option --$option ($command)"; failed=1; }
    done
done
if command -v bash > /dev/null; then
    CRANKCARD=$CRANKCARD bash tests/completion.bash || failed=1
fi
[ $failed = 0 ] && echo "ok   manual pages and completion"
exit $failed
