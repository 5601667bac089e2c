# One letter in the midst of the journal changed: refused, listed as damaged, left as it is; what is good can be salvaged.
export XDG_STATE_HOME="$TMPDIR/follow-damaged"
printf '\n\n\n\nq\n' | "$CRANKCARD" follow --ready 7 > "$TMPDIR/first"
file=$(echo "$XDG_STATE_HOME"/crankcard/*.journal)
sed 's/made 2/made 3/' "$file" > "$file.new" && mv "$file.new" "$file"
chmod 600 "$file"
cp "$file" "$TMPDIR/before"
printf '\n' | "$CRANKCARD" follow --ready 7 2>&1 | sed "s|$XDG_STATE_HOME|STATE|"
"$CRANKCARD" follow --resume 2>&1 | sed "s|$XDG_STATE_HOME|STATE|"
"$CRANKCARD" follow --list | sed "s|$XDG_STATE_HOME|STATE|"
"$CRANKCARD" recover --job divide-7 --hole 21 | sed -n '1,/^One/p'
cmp "$file" "$TMPDIR/before"
"$CRANKCARD" follow --salvage divide 2>&1
printf '\nq\n' | "$CRANKCARD" follow --salvage divide-7 | sed "s|$XDG_STATE_HOME|STATE|"
cmp "$file.damaged" "$TMPDIR/before"
"$CRANKCARD" follow --salvage divide-7
"$CRANKCARD" follow --list
# In the request nothing can be salvaged; it can be dropped.
sed 's/word 7/word 8/' "$file" > "$file.new" && mv "$file.new" "$file"
chmod 600 "$file"
"$CRANKCARD" follow --salvage divide-7 2>&1 | sed "s|$XDG_STATE_HOME|STATE|"
"$CRANKCARD" follow --forget divide-7
