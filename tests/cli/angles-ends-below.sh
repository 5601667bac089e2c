# A list that ends below its zero: moved back, and no minus in front of a word.
"$CRANKCARD" angles 30 20 -10 --width 60 | sed -n '/^Closing/,/^$/p'
# One that begins with 0: its first position is no movement.
"$CRANKCARD" angles 0 30 60 --no-steps | grep 'in all'
