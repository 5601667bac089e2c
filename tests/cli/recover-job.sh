# The request and the last step confirmed come from a journal of follow; options of the card may stand beside it.
export XDG_STATE_HOME="$TMPDIR/recover-job"
printf '\n\n\nq\n' | "$CRANKCARD" follow --ready 57 > "$TMPDIR/first"
"$CRANKCARD" recover --job divide --hole 2 --reading 19 --width 60
"$CRANKCARD" recover --job divide --most 3 --format tsv
# What is surely cut goes before what the journal says.
"$CRANKCARD" recover --job divide --tooth 1 --hole 2 --reading 19 | sed -n '/Known/p'
