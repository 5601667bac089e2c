printf "divide 1000000\ndivide 5 --no-steps\n" | "$CRANKCARD" batch -
