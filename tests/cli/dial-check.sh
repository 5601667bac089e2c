"$CRANKCARD" check 7 12 turns 3d25m40s --head dial-table-90; "$CRANKCARD" check 25 3 turns 2d23m --head dial-table-90; "$CRANKCARD" check 250 16 lines --head dividing-head-dial --format jsonl
