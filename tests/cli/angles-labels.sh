"$CRANKCARD" angles "37°30' keyway" 0 22½ "120.5 oil hole" --radius 20
