#!/bin/sh
# On demand: every picture of docs/gallery drawn by rsvg-convert and by headless Chromium, and how many pixels differ by
# more than half of full scale, in percent of the pixels with ink. Letters are rasterised differently, so their edges
# differ; an empty page would be 100, and more than MOST is a failure. Needs chromium, rsvg-convert and ImageMagick.
set -u
: "${MOST:=25}"
for tool in chromium rsvg-convert compare convert; do
    command -v $tool > /dev/null || { echo "skip browser pixels: $tool is not installed"; exit 0; }
done
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
failed=0
width=900
for svg in docs/gallery/*.svg; do
    name=$(basename "$svg" .svg)
    rsvg-convert -w $width -b white "$svg" -o "$work/a.png" || exit 1
    height=$(identify -format %h "$work/a.png")
    printf '<!DOCTYPE html><style>*{margin:0}img{display:block;width:%spx}</style><img src="file://%s">' \
        $width "$PWD/$svg" > "$work/page.html"
    XDG_CONFIG_HOME=$work chromium --headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking \
        --disable-component-update --disable-sync --hide-scrollbars --force-device-scale-factor=1 --allow-file-access-from-files \
        --user-data-dir="$work/profile" --window-size=$width,"$height" --screenshot="$work/b.png" "file://$work/page.html" \
        > "$work/log" 2>&1 || { tail -3 "$work/log"; exit 1; }
    convert "$work/b.png" -crop "${width}x$height+0+0" +repage "$work/b.png"
    pixels=$(compare -metric AE -fuzz 50% "$work/a.png" "$work/b.png" null: 2>&1)
    convert -size "${width}x$height" xc:white "$work/white.png"
    ink=$(compare -metric AE -fuzz 50% "$work/a.png" "$work/white.png" null: 2>&1)
    percent=$(awk "BEGIN { printf \"%.1f\", 100 * $pixels / $ink }")
    echo "     $name: $pixels of $ink pixels with ink, $percent%"
    awk "BEGIN { exit !($percent > $MOST) }" && { echo "FAIL $name"; failed=1; }
done
[ $failed = 0 ] && echo "ok   gallery in a browser"
exit $failed
