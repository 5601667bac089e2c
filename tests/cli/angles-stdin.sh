printf "# slots\n0\n\n 37d30m\tkeyway  \r\n120 # a comment\n240 hole #3\n" | "$CRANKCARD" angles - --format tsv
