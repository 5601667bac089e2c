printf "divide 3 --no-steps\ndivide 1000000\ndivide x\ndivide 4\n" | "$CRANKCARD" batch --strict - | cut -c 1-60
