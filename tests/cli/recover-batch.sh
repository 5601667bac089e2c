printf "%s\n" "recover 57 --hole 8 --reading 75" "recover 57 --hole 8 --hole2 10 --reading 151" "recover 57 --re-zero" | "$CRANKCARD" batch -
