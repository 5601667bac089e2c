printf "[head]\nworm = 90\nspindle = with\n[dial]\nlines = 240\n" > "$TMPDIR/h.ini"; "$CRANKCARD" 7 --head "$TMPDIR/h.ini" --counter; rm "$TMPDIR/h.ini"
