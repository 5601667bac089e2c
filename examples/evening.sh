#!/bin/sh
# A batch: every line of evening.batch answered as JSON Lines, and what was not exact picked out.
# OUTPUT is the folder for files (default: here).
set -eu
: "${CRANKCARD:=crankcard}" "${OUTPUT:=.}"
"$CRANKCARD" batch "$(dirname "$0")/evening.batch" --output "$OUTPUT/evening.jsonl"
grep '"exact":false' "$OUTPUT/evening.jsonl" || echo "all exact"
