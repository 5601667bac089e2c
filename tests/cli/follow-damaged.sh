# One letter of the journal changed: refused, listed as damaged, left as it is; it can be dropped.
export XDG_STATE_HOME="$TMPDIR/follow-damaged"
printf '\n\nq\n' | "$CRANKCARD" follow 7 > "$TMPDIR/first"
file=$(echo "$XDG_STATE_HOME"/crankcard/*.journal)
sed 's/made 1/made 2/' "$file" > "$file.new" && mv "$file.new" "$file"
chmod 600 "$file"
cp "$file" "$TMPDIR/before"
printf '\n' | "$CRANKCARD" follow 7 2>&1 | sed "s|$XDG_STATE_HOME|STATE|"
"$CRANKCARD" follow --list | sed "s|$XDG_STATE_HOME|STATE|"
cmp "$file" "$TMPDIR/before" && "$CRANKCARD" follow --forget divide-7
"$CRANKCARD" follow --list
