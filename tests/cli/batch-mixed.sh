"$CRANKCARD" batch - <<'END'
# invented requests

divide 57 --no-steps
4 --no-steps    # short for divide
angles "37°30' keyway" '22 1/2'
table 99999-100000
divide 0
divide 1000000
check 57 7/19+5/15
nonsense
END
