d=$(mktemp -d); cd "$d"; echo old > list; "$CRANKCARD" 57 --from 99 -o list; cat list; "$CRANKCARD" 24 --no-steps -o list; head -1 list; ls; rm -r "$d"
