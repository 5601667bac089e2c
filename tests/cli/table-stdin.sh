printf "20,24 # two gears\n127\n" | "$CRANKCARD" table - --format csv
