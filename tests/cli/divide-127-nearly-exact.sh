"$CRANKCARD" 127 --method nearly-exact --to 3
