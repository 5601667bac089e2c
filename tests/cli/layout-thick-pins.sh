"$CRANKCARD" layout 7 -d 50 --pin 30 | sed -n '/^Check/,$p'
