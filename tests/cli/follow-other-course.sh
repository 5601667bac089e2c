# The same request again: passes and pieces are those it was begun with, and it says so where others are asked for.
export XDG_STATE_HOME="$TMPDIR/follow-course"
echo q | "$CRANKCARD" follow --ready 7 --pass roughing --pieces 3 > "$TMPDIR/out"
for more in '--pass roughing' '--pass finishing' '--pieces 3' '--pieces 4' '--measure-after 2' '--check-every 5'; do
    echo "$more"
    # shellcheck disable=SC2086
    echo q | "$CRANKCARD" follow 7 $more | head -n 2
done
