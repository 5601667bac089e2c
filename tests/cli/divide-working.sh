"$CRANKCARD" 57 --working --brief --note "Hub, second piece" --to 3
