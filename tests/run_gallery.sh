#!/bin/sh
# The gallery: every line "crankcard ... --output docs/gallery/NAME.svg" of docs/gallery.md is run. With "rewrite"
# as first argument the pictures are drawn anew; with "compare" they must be what is committed, no more and no fewer.
set -u
: "${CRANKCARD:?set it to the program to test}"
mode=${1:-compare}
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
mkdir -p "$work/home" "$work/docs/gallery"
cp -r examples "$work/examples"
export LC_ALL=C HOME="$work/home"
unset CRANKCARD_HEAD XDG_CONFIG_HOME XDG_DATA_HOME XDG_DATA_DIRS XDG_STATE_HOME
crankcard() { "$CRANKCARD" "$@"; }
failed=0

grep '^crankcard .* --output docs/gallery/[a-z0-9-]*\.svg$' docs/gallery.md > "$work/commands"
while read -r line; do
    ( cd "$work" && eval "$line" ) || { echo "FAIL $line"; failed=1; }
done < "$work/commands"
for file in "$work"/docs/gallery/*.svg; do
    name=$(basename "$file")
    grep -q "^!\[..*\](gallery/$name)\$" docs/gallery.md || { echo "FAIL docs/gallery.md does not show $name"; failed=1; }
done
if [ "$mode" = rewrite ]; then
    [ $failed = 0 ] && rm -f docs/gallery/*.svg && cp "$work"/docs/gallery/*.svg docs/gallery/
    exit $failed
fi
if ! diff -rq docs/gallery "$work/docs/gallery"; then
    echo "FAIL docs/gallery is not current: make gallery"
    failed=1
fi
[ $failed = 0 ] && echo "ok   $(wc -l < "$work/commands") pictures of the gallery"
exit $failed
