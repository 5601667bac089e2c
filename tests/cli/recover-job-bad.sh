# --job: not beside another request or head, not in a batch; a job that is not there.
export XDG_STATE_HOME="$TMPDIR/recover-job-bad"
printf '\nq\n' | "$CRANKCARD" follow --ready 57 > "$TMPDIR/first"
for words in '58 --job divide' '--job gone' '--job divide --head five-to-one --format csv' \
             '--job divide --head five-to-one' '--job divide --hole 99' '--hole 3'; do
    "$CRANKCARD" recover $words
    echo "status $?"
done
echo 'recover --job divide' | "$CRANKCARD" batch -
