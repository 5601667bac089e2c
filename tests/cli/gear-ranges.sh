# Lists and ranges, as table takes them; a module with its unit.
"$CRANKCARD" gear 20,24 30-32 --module 1.25mm -f csv | cut -d, -f5-10
"$CRANKCARD" gear 24 --module 0.05in -f csv | cut -d, -f5-10
