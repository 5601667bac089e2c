#!/bin/sh
# Two builds of the same source in two folders: program, libraries and objects are the same bytes.
set -u
: "${MAKE:=make}" "${CC:=cc}"
root=$(mktemp -d) || exit 1
trap 'rm -rf "$root"' EXIT
fail() { echo "FAIL reproducible: $*"; exit 1; }

mkdir -p "$root/here" "$root/a/longer"
cp -R Makefile include src data "$root/here"
cp -R "$root/here" "$root/a/longer/path"
for folder in here a/longer/path; do
    (cd "$root/$folder" && CCACHE_DISABLE=1 $MAKE -s CC="$CC" all > "$root/log" 2>&1) || { cat "$root/log"; fail "make in $folder"; }
done
grep -q "\.debug_info" "$root/here/build/crankcard" || fail "no debugging notes: there is nothing to differ"
diff -rq "$root/here/build" "$root/a/longer/path/build" > "$root/differ" || { tail -5 "$root/differ"; fail "the folder is in the bytes"; }
! grep -rq "$root" "$root/here/build" || fail "the folder's name is in the bytes"
echo "ok   two builds in two folders: $(find "$root/here/build" -type f | wc -l) files, the same bytes"
