#!/bin/sh
# follow from the set-up to the last pass of the last piece, on a real terminal (tmux): left amid the set-up, killed amid
# the trial round, a closing that does not fall right, passes with a position left out, checks, pieces, small windows.
set -u
name=follow_rounds
. "$(dirname "$0")/follow_terminal.sh"

hides() {
    t capture-pane -p | grep -q -e "$1" && fail "the screen shows '$1'"
}

key() {
    t send-keys "$1"
    shows "$2"
}

typed() {
    key "$1" "$2: _"
    t send-keys -l "$3"
    t send-keys Enter
    shows "$4"
}

# Go to step $1, all up to it being cut already.
cut_up_to() {
    typed g 'Go to step' "$1" 'Not confirmed on the way'
    key c "$2"
}

start() {
    t send-keys -l "clear; $CRANKCARD follow $1"
    t send-keys Enter
    shows "$2"
}

left() {
    key q "$1"
    shows 'ready>$'
}

open_terminal 80 24

# Set-up: ticked, back, left and gone on with, read again.
start "28 --pass 'roughing, 4 mm' --pass 'finishing, 4.5 mm' --pieces 2 --measure-after 3" 'SET-UP: 7 items'
shows '^\[ \] 1\. '
press Enter 'SET-UP: 1 of 7 done'
press Space 'SET-UP: 2 of 7 done'
press b 'SET-UP: 1 of 7 done'
press Enter '^\[ \] 3\. '
left 'set-up kept at item 3 of 7: crankcard follow --resume divide-28'
"$CRANKCARD" follow --list | grep -q '^  divide 28: set-up, 2 items done, nothing cut$' || fail "the list does not tell the set-up"
start '--resume' 'Item 3 of 7 of its set-up comes next'
press Enter '^\[ \] 3\. '
key a 'Now a trial round'
shows 'Enter trial round  c cut at once'

# Trial round: marked, killed, gone on with; nothing of it is made.
press Enter 'TRIAL: mark it lightly'
shows '0 marked, 28 left'
press Enter 'STEP 1 of 28'
shows 'arms 21 spaces, 22 holes; forward clockwise'
press Enter 'STEP 2 of 28'
t send-keys C-z
shows 'ready>$'
t send-keys -l 'kill -KILL %1; wait; clear'
t send-keys Enter
shows '^ready>$'
start '--resume' 'is in its trial round. Step 2 of 28'
shows 'must have 2 marks'
press Enter 'STEP 2 of 28'
"$CRANKCARD" follow --list | grep -q 'step 2 of 28 comes next, 2 of 28 marked, piece 1 of 2, trial round$' || fail "the list does not tell the trial"
shows 't again'
key t 'trial round again, from its start'
shows '0 marked, 28 left'

# It does not fall on the first mark: round again; then it does.
cut_up_to 28 'CLOSING CHECK: move, do not mark'
key n 'IT DID NOT FALL ON THE FIRST MARK'
shows 'Enter trial again'
press Enter '0 marked, 28 left'
cut_up_to 28 'CLOSING CHECK'
press Enter 'ALL MARKED'
key u 'SET-UP, item 1 of 7, to read again'
press Enter 'SET-UP, item 2 of 7'
key u 'ALL MARKED'
press Enter 'pass 1 of 2: roughing, 4 mm'
shows '0 made, 28 left'
shows 'to its depth here'

# Measured, and looked at on the way; what is seen is not so.
press Enter 'STEP 1 of 28'
cut_up_to 3 'STEP 3 of 28'
press Enter 'MEASURE after step 3'
typed m Note '4.02 over the wires' noted
press Enter 'STEP 4 of 28'
cut_up_to 7 'STEP 7 of 28'
press Enter 'CHECK after step 7 of 28'
shows 'spindle at 90°00'
shows 'direct plate, 24 circle: 6 holes on'
shows '8 cuts on the work'
key n 'Pin in hole: _'
t send-keys -l 7
t send-keys Enter
shows 'Spindle reads: _'
t send-keys Escape
shows 'CHECK after step 7 of 28'
key n 'Pin in hole: _'
t send-keys -l 0
t send-keys Enter
shows 'Spindle reads: _'
t send-keys -l 90
t send-keys Enter
shows 'Cuts on the work: _'
t send-keys Enter
shows 'ready>$'
t send-keys -l "clear; $CRANKCARD follow --record 28 | tail -n 5"
t send-keys Enter
shows 'NOT as it must be'
start '--resume 28' 'must have 8 cuts'
press Enter 'CHECK after step 7 of 28'
press Enter 'STEP 8 of 28'
cut_up_to 14 'STEP 14 of 28'
press Enter 'straight opposite the cutter'
press Enter 'STEP 15 of 28'
cut_up_to 28 'CLOSING CHECK'
press Enter 'ALL MADE of this pass'
shows 'Enter begins pass 2: finishing, 4.5 mm'

# Finishing: one position is left out. One pass more, and back to what is open.
press Enter 'pass 2 of 2: finishing, 4.5 mm'
shows 'one depth all the way round'
cut_up_to 5 'STEP 5 of 28'
typed g 'Go to step' 6 'Not confirmed on the way: step 5'
key l 'OPEN: step 5'
cut_up_to 28 'CLOSING CHECK'
press Enter 'NOT DONE'
shows '27 made, 1 left'
typed p 'words: one more)' 'second depth, 5 mm' 'pass 3 of 3: second depth, 5 mm'
shows 'OPEN in pass 2: step 5'
cut_up_to 28 'CLOSING CHECK'
press Enter 'Enter goes back to pass 2: finishing, 4.5 mm'
left 'place kept at step 28 of 28, pass 3 of 3'
"$CRANKCARD" follow --list | grep -q '^  open in pass 2: step 5$' || fail "the list does not tell what is open in pass 2"
start '--resume' 'OPEN in pass 2: step 5'
press Enter 'Enter goes back to pass 2'
press Enter 'STEP 5 of 28'
shows 'pass 2 of 3: finishing, 4.5 mm'
press Enter 'ALL MADE of this piece'
shows 'cut the first spaces once more at the same depth'

# The next piece has the passes that were planned, and no trial round.
press Enter 'piece 2 of 2, pass 1 of 2: roughing, 4 mm'
shows 'The next work in, and tight'
cut_up_to 28 'CLOSING CHECK'
press Enter 'Enter begins pass 2'
press Enter 'pass 2 of 2'
cut_up_to 28 'CLOSING CHECK'
key n 'IT DID NOT FALL ON THE FIRST CUT'
hides 'Enter trial again'
key y 'ALL MADE'
left 'all made; crankcard follow --record divide-28'
"$CRANKCARD" follow --list | grep -q '^  divide 28: done, 28 steps of each piece$' || fail "two pieces are made, and the list does not say so"

# Small windows: an item of the set-up that is too tall is read to its end before it is ticked.
t resize-window -x 36 -y 8
start 57 '^\[ \] 1\. '
key a 'Now a trial round'
press b '^\[ \] 11'
for n in 10 9 8 7; do press b "^\\[ \\] $n\\. "; done
shows 'Enter: more of this'
hides 'Enter done'
press Enter 'Enter done'
t resize-window -x 40 -y 12
"$CRANKCARD" follow --list | grep -q 'divide 57: set-up, 6 items done' || fail "an item was ticked that was not read"
press Enter '^\[ \] 8\. '
key a 'Now a trial round'
key c 'Enter made and cut  g\|Enter made and cut  b'
press Enter 'STEP 1 of 57'
for size in '-x 40 -y 12' '-x 36 -y 20' '-x 80 -y 24'; do
    # shellcheck disable=SC2086
    t resize-window $size
    sleep 0.2
    shows 'STEP 1 of 57'
    shows 'crank 7 holes of 19'
    shows 'LANDS in hole 7'
    shows 'arms 7 spaces, 8 holes'
    shows '  q'
done
t resize-window -x 160 -y 50
shows '█████████████████████'
left 'place kept at step 1 of 57'

# A narrow window: no line ends between a key and what it does, and the last word is not cut by the window's edge.
t resize-window -x 36 -y 20
start 9 '^\[ \] 1\. '
key a 'Now a trial round'
shows '^Enter trial round  c cut at once$'
shows '^b back  u set-up  q leave$'
press Enter 'TRIAL: mark it lightly'
press Enter 'STEP 1 of 9'
left '^place kept at step 1 of 9, trial$'
t capture-pane -p | grep -q '^round: crankcard follow --resume$' || fail "the last word is cut by the edge of the window"
t resize-window -x 80 -y 24

# A pedal that types anything at all; a letter that means something where it stands is still that.
start '--resume divide-57 --any-key' 'Step 1 of 57 comes next'
press Right 'STEP 1 of 57'
press x 'STEP 2 of 57'
key m 'Note: _'
key Escape 'Enter made and cut'
press l 'STEP 3 of 57'
key q 'place kept at step 3 of 57'
echo "ok   follow_rounds"
