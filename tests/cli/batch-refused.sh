"$CRANKCARD" batch - <<'END'
batch jobs.txt
follow 57
angles -
divide 5 --format csv
divide 5 --output file
divide 5 --help
heads small-tilting
END
printf 'angles "10 \377"\ndivide 5\000\n' | "$CRANKCARD" batch -
