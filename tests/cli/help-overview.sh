"$CRANKCARD"
for words in 'fields tilt' 'flats extra'; do
    # shellcheck disable=SC2086
    "$CRANKCARD" help $words 2>&1; echo "status $?"
done
