# 171 exactly has a part that goes back in each movement; with 6' the nearest hole takes half the effort.
"$CRANKCARD" 171 --tolerance 6m --no-steps | head -n 14
