# The plate geared, with all that divide says of it; a simpler way, its command, and the command run.
"$CRANKCARD" gear 127 --module 1 --head small-tilting-geared | sed '/^Blank running/,$d'
"$CRANKCARD" gear 127 --module 1 --head small-tilting-geared -m nearest-hole -c 49 | sed -n '/set up/,/follow/p'
# The direct plate only where it is named; one circle; blocks with few turns; a method that a tilted or geared head cannot use.
"$CRANKCARD" gear 24 --module 1 | sed -n '/set up/,/follow/p'
"$CRANKCARD" gear 24 --module 1 --method direct | sed -n '/set up/,/follow/p'
"$CRANKCARD" gear 24 --module 1 --circle 27 | grep -A1 "set up"
"$CRANKCARD" gear 13 --module 1 -m nearly-exact | grep -A1 "set up"
"$CRANKCARD" gear 13 --module 1 -m nearly-exact --most-turns 2 | grep -A1 "set up"
"$CRANKCARD" gear 24 --module 1 --helix 15 -m differential -m compound | grep -A1 'set up'
"$CRANKCARD" gear 24 --module 1 --bevel --mate 24 -m differential --head small-tilting-geared | grep -A1 'set up'
# In a file a line's own method takes the place of the one above; the next line has the one above again.
printf -- '-m nearest-hole --module 1\n24\n25 -m plain -m direct\n26\n' | "$CRANKCARD" gear --file - | grep -A3 'set up'
