# What data/crankcard.bash offers for a few half-typed lines. Called by run_man.sh.
set -u
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
PATH=${CRANKCARD%/*}:$PATH
source data/crankcard.bash
failed=0

# offers WANTED WORD...: the last WORD is half typed; WANTED, or no WANTED with a ! before it, is offered.
offers() {
    local wanted=$1 found=no reply
    shift
    COMP_WORDS=(crankcard "$@")
    COMP_CWORD=$#
    _crankcard
    for reply in "${COMPREPLY[@]+"${COMPREPLY[@]}"}"; do
        [ "$reply" = "${wanted#!}" ] && found=yes
    done
    if [ "${wanted#!}" = "$wanted" ]; then [ $found = yes ]; else [ $found = no ]; fi && return
    echo "FAIL completion of: crankcard $*: ${wanted} was expected, offered: ${COMPREPLY[*]-}"
    failed=1
}

offers divide di
offers --tolerance divide 57 --tol
offers --tolerance 57 --tol
offers !--gaps divide 57 --g
offers --gaps table 2-400 --g
offers jsonl divide 57 --format j
offers tsv 57 -f t
offers nearest-hole methods 127 --method near
offers in tilt 30 --units i
offers small-tilting-geared divide 57 --head small
offers spin-fixture-36 heads sp
offers left lead --hand ""
offers tilt help ti
offers Makefile divide 57 --output Make
exit $failed
