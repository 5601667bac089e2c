# The zero goes into the profile, all else in it stays, and it is used from then on.
cd "$TMPDIR" || exit
printf '; mine\n[head]\nworm = 40   ; counted\ntilt = 0 90\n[plate A]\nside 1 = 15 20\n' > own.ini
cp own.ini before.ini
ln -s own.ini link.ini
"$CRANKCARD" tilt 30 --head own.ini --measured 57.735 --scale-shows 30d24m --write link.ini | grep -A3 scale
diff before.ini own.ini
test -L link.ini && echo "still a link"
"$CRANKCARD" heads own.ini | grep tilt
"$CRANKCARD" tilt 20 --head own.ini | grep -A2 'Tilt until'
"$CRANKCARD" tilt 20 --head own.ini --zero 0 | grep 'Tilt until'
"$CRANKCARD" tilt 20 --head own.ini --measured 36.4 --scale-shows 20d24m --write own.ini --format tsv | tail -1 | cut -f 10-14
diff before.ini own.ini
# What cannot be written leaves it as it was.
cp own.ini before.ini
bad() { "$CRANKCARD" tilt 30 --measured 57.7 --scale-shows 30 --write "$@" > out; echo "status $?, $(wc -c < out) bytes"; cmp before.ini own.ini; }
bad none.ini
bad none/own.ini
bad -
bad /dev/null
printf 'no profile\n' > text; bad text; cat text
bad small-tilting
bad own.ini --head none.ini
"$CRANKCARD" tilt 91 --measured 1 --scale-shows 30 --write own.ini; echo "status $?"
echo 'tilt 30 --measured 57.7 --scale-shows 30 --write own.ini' | "$CRANKCARD" batch -; cmp before.ini own.ini
