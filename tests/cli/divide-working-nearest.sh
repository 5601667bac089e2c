"$CRANKCARD" 127 --working --brief --no-steps --width 60
