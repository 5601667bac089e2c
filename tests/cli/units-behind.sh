# The unit of bare lengths holds wherever it stands: worst error at a radius of 3 inches.
for words in "--radius 3 --units in" "--units in --radius 3"; do
    "$CRANKCARD" divide 21 -m nearest-hole $words --no-steps | grep ' in)'
    "$CRANKCARD" angles 0 37.317 -m nearest-hole $words -f csv | cut -d, -f1,7-
    echo "divide 21 -m nearest-hole $words --from 1 --to 1" | "$CRANKCARD" batch - | sed -n '/"step"/s/.*"label/"label/p'
done
