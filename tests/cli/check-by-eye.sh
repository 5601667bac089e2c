# Parts by eye are readings that the head can be set to; a head without a dial has none.
"$CRANKCARD" check 13 5 turns 2d41m36s -H dial-table-72 --by-eye 5
"$CRANKCARD" check 13 5 turns 2d41m36s -H dial-table-72 --by-eye 4
"$CRANKCARD" check 7 12 turns 3d25m v4 1/4 -H dial-table-90 --by-eye 4 -f jsonl
for c in "check 7 5 35/49" "methods 7" "table 7"; do "$CRANKCARD" $c --by-eye 4 2>&1; done
