# Standard input that cannot be read is no empty batch.
"$CRANKCARD" batch - <&-
echo "status $?"
echo '57 --no-steps' | "$CRANKCARD" batch - >&-
echo "status $?"
echo '0' | "$CRANKCARD" batch - >&-
echo "status $?"
