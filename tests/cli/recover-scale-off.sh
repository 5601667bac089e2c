# The hole fits where the scale is off by more than was said; and where the hole of the nearest step is another.
"$CRANKCARD" recover 48 --hole 15 --reading 100 | sed -n '/^No step/,/^$/p'
"$CRANKCARD" recover 48 --hole 15 --reading 112.5 | sed -n '/^No step/,/^$/p'
"$CRANKCARD" recover 48 --hole 15 --reading 100 --tooth 20 | sed -n '/^No step/,/^$/p'
