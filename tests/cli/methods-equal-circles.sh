"$CRANKCARD" methods 28
"$CRANKCARD" 28 --no-steps | head -n 5
