printf '%s\n' '--module 1' 20 '24 --helix 95' | "$CRANKCARD" gear --file -
