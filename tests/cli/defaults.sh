# The user's own defaults: taken, overridden, shown, and refused with their line.
export XDG_CONFIG_HOME="$TMPDIR/config"
own="$XDG_CONFIG_HOME/crankcard/defaults.ini"
mkdir -p "$XDG_CONFIG_HOME/crankcard"
where() { "$CRANKCARD" heads --where | sed -n '/^Defaults/,$p'; }
where
printf '# invented\n\nunits = in   ; always\n\twidth=44\r\n' > "$own"
where
"$CRANKCARD" layout 3 --diameter 2 | head -n 3
"$CRANKCARD" layout 3 --diameter 50 --units mm --width 72 | head -n 1
"$CRANKCARD" 97 -r 1 --brief --no-steps -m nearest-hole | sed -n '/^NOT/p; /^  error/,/^$/p; /^crankcard/,$p'
"$CRANKCARD" -f jsonl 97 -m nearest-hole --radius 1 --from 1 --to 1 | grep -o '"error_[a-z]*"'
echo '97 -m nearest-hole --radius 1 --to 1 --from 1' | "$CRANKCARD" batch - | grep -o '"error_[a-z]*"'
echo 'paper = a5' > "$own"
"$CRANKCARD" 7 | grep -c "$(printf '\f')"
"$CRANKCARD" 7 --pages none | grep -c "$(printf '\f')"
"$CRANKCARD" 7 -f html | grep '^@page{size'
for bad in 'width = 20' 'width = wide' 'units = furlong' 'paper = a7' 'with = 60' 'units' ' = in' 'Units = in'; do
    printf '; invented\n%s\n' "$bad" > "$own"
    "$CRANKCARD" 7 2>&1
    echo "status $?"
done
for key in 'width = 60' 'units = in' 'paper = a5'; do
    printf '%s\n; again\n%s\n' "$key" "$key" > "$own"
    "$CRANKCARD" 7 2>&1
    echo "status $?"
done
printf '\357\273\277width = 44\n' > "$own"
where
echo 'Units = in' > "$own"
where
"$CRANKCARD" heads small-tilting | head -n 1
"$CRANKCARD" --version > /dev/null && "$CRANKCARD" 7 --help > /dev/null && echo 'help all the same'
rm "$own"
mkdir "$own"
"$CRANKCARD" 7 2>&1
