# What the tests of follow share, to be read by them: where the program is, and what its journal says.
: "${CRANKCARD:?set it to the program to test}"
case $CRANKCARD in /*) ;; *) CRANKCARD=$PWD/$CRANKCARD ;; esac
unset CRANKCARD_HEAD XDG_CONFIG_HOME

# The step that comes next, as the program reads it from the journal.
next_step() {
    "$CRANKCARD" follow --list | sed -n 's/.*: step \([0-9]*\) of [0-9]* comes next.*/\1/p'
}
