# What is known is shown with the procedures too, by its step.
"$CRANKCARD" recover 48 --re-zero --tooth 5 | sed -n 2p
export XDG_STATE_HOME="$TMPDIR/recover-re-zero-known"
printf '\n\nq\n' | "$CRANKCARD" follow --ready 7 > "$TMPDIR/first"
"$CRANKCARD" recover --job divide --re-zero | sed -n 2p
