# One flat needs no indexing; seven go by the plate, arms and all; a triangle on thin stock keeps some round.
"$CRANKCARD" flats 1 --depth 0.5 --stock 6 | sed '/^Cautions/,$d'
"$CRANKCARD" flats 7 --across 20 --stock 25 | sed '/^Cautions/,$d'
"$CRANKCARD" flats 3 --across 10 --stock 15 --no-steps | sed '/^Order/,$d'
