"$CRANKCARD" batch - <<'END' | sed 's/.*"record":"\([a-z]*\)".*"label":\(.*\)}/\1 \2/; t; s/^{"record":"error"/{error/; t; d'
angles 'it is $5' --format jsonl
angles "10 say \"hi\" \\ \$5" --from 1
angles 10\ a\'b --from 1
angles '10 #1' --from 1
angles 10"' x" --from 1
angles 37°30'
angles "37
divide $N
divide `date`
divide 5 | cat
divide 5; divide 6
divide 5 > file
divide 5 & divide 6
angles "$HOME"
divide 5 --head ~/head.ini
divide 5 \
END
