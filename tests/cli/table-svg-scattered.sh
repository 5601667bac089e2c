seq 50 50 4000 | "$CRANKCARD" table - --format svg
