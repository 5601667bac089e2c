#!/bin/sh
# follow on a real terminal, driven through tmux: keys, a held key, resizing, Ctrl-C, Ctrl-Z and back, a kill by
# TERM. After each the terminal must be as it was: modes, cursor, the screen in front.
set -u
name=follow_tmux
. "$(dirname "$0")/follow_terminal.sh"

# The shell is back; the terminal must be as it was before.
sane() {
    t send-keys -l "stty -g > after; echo back-\$((1000 + $1))"
    t send-keys Enter
    shows "back-$((1000 + $1))$"
    cmp -s before after || fail "$2: the modes of the terminal have changed"
    [ "$(t display-message -p '#{alternate_on} #{cursor_flag}')" = '0 1' ] || fail "$2: screen or cursor not given back"
    t send-keys -l clear
    t send-keys Enter
}

pause() { sleep 1; }        # longer than the guard against held keys

open_terminal 80 24
t send-keys -l 'stty -g > before; clear'
t send-keys Enter
start() {
    t send-keys -l "$CRANKCARD follow $1"
    t send-keys Enter
}

# Keys.
start '--ready 7'
shows 'START'
pause
t send-keys Enter
shows 'STEP 1 of 7'
pause
t send-keys Space
shows 'STEP 2 of 7'
t send-keys x
shows 'nothing else does anything'
t send-keys Up
shows 'nothing else does anything'
pause
t send-keys b
shows 'STEP 1 of 7'
t send-keys g
shows 'Go to step: _'
t send-keys -l 4z
t send-keys BSpace
shows 'Go to step: 4_'
t send-keys Enter
shows 'Not confirmed on the way: steps 1 to 3'
t send-keys c
shows 'STEP 4 of 7'
t send-keys m
shows 'Note: _'
t send-keys -l 'burr, see after'
t send-keys Enter
shows 'note: burr, see after'
t send-keys m
shows 'Note: _'
t send-keys Escape
shows '\[ noted \]'
[ "$(next_step)" = 4 ] || fail "the journal is not at step 4"

# A key held down: one step, however long.
pause
t send-keys Enter
sleep 0.5                   # as a keyboard waits before it repeats
t send-keys -N 40 Enter
shows 'too quick after the last key'
[ "$(next_step)" = 5 ] || fail "a held key made $(next_step) of one step"

# Sizes.
t resize-window -x 40 -y 20
shows 'STEP 5 of 7'
shows '  q$'
[ "$(t capture-pane -p | head -n 1)" = 'STEP 5 of 7' ] || fail "40x20 is too small for it"
t capture-pane -p | grep -q '████' || fail "40x20 has no large figures"
t capture-pane -p | grep -q 'LANDS in hole 28' || fail "40x20 leaves out where the pin lands"
t resize-window -x 12 -y 4
sleep 0.3
t resize-window -x 120 -y 40
shows 'Cutter stopped and clear before hands go in'
t resize-window -x 80 -y 24
shows 'STEP 5 of 7'
t send-keys q
shows 'place kept at step 5 of 7: crankcard follow --resume'
sane 1 q

# The key that started it, still held, does not confirm what is there.
start '--ready 7'
t send-keys Enter
shows 'begun before'
pause
t send-keys Enter
shows 'STEP 5 of 7'

# Ctrl-Z and back, twice; the shell in between has a sane terminal.
for again in 1 2; do
    t send-keys C-z
    shows 'ready>$'
    sane "1$again" "Ctrl-Z"
    t send-keys -l fg
    t send-keys Enter
    shows 'STEP 5 of 7'
    [ "$(t display-message -p '#{alternate_on}')" = 1 ] || fail "back from Ctrl-Z: not on its own screen"
done
pause
t send-keys Enter
shows 'STEP 6 of 7'
t send-keys C-c
shows 'place kept at step 6 of 7'
sane 2 Ctrl-C
[ "$(next_step)" = 6 ] || fail "Ctrl-C lost the place"

# Ctrl-C while a word is typed; TERM; the job in another terminal.
start '--resume'
shows 'Step 6 of 7 comes next'
pause
t send-keys Enter
shows 'STEP 6 of 7'
t send-keys m
shows 'Note: _'
t send-keys C-c
shows 'place kept at step 6 of 7'
sane 3 'Ctrl-C in a remark'
start '--resume'
shows 'Step 6 of 7 comes next'
pause
t send-keys Enter
shows 'STEP 6 of 7'
echo q | "$CRANKCARD" follow --ready 7 > out 2> err
[ $? = 2 ] || fail "two terminals follow one job"
grep -q 'this job is being followed in another terminal (process [0-9]*)' err || fail "lock: $(cat err)"
pid=$(sed -n 's/.*(process \([0-9]*\)).*/\1/p' err)
kill -TERM "$pid"
shows 'place kept at step 6 of 7'
sane 4 SIGTERM

# A terminal that cannot place its cursor gets lines.
t send-keys -l "TERM=dumb $CRANKCARD follow --resume"
t send-keys Enter
shows 'Step 6 of 7 comes next'
t send-keys Enter
shows 'STEP 6 of 7'
[ "$(t display-message -p '#{alternate_on}')" = 0 ] || fail "TERM=dumb got the whole screen"
t send-keys -l q
t send-keys Enter
shows 'place kept at step 6 of 7'
sane 5 'TERM=dumb'

# Forward and never back: the end is not done, and says what is open.
go_to() {
    t send-keys g
    shows 'Go to step: _'
    t send-keys -l "$1"
    t send-keys Enter
}
start '--ready 12'
shows 'START'
press Enter 'STEP 1 of 12'
press Enter 'STEP 2 of 12'
go_to 10
shows 'Not confirmed on the way: steps 2 to 9\.'
t send-keys x
shows 'c cut already  l later  n stay'
t send-keys n
shows 'STEP 2 of 12'
go_to 10
shows 'TO STEP 10 of 12'
t send-keys l
shows '2 made, 10 left'
shows 'OPEN: steps 2 to 9'
shows '270°00'
press Enter 'STEP 11 of 12'
press Enter 'CLOSING CHECK'
press Enter 'NOT DONE'
shows '4 made, 8 left'
t send-keys q
shows 'NOT DONE, open: steps 2 to 9: crankcard follow --resume divide-12'
sane 6 'at the end, open'
"$CRANKCARD" follow --list | grep -q '^  divide 12: not done' || fail "the list says done: $("$CRANKCARD" follow --list)"
"$CRANKCARD" follow --list | grep -q '^  open: steps 2 to 9$' || fail "the list does not say what is open"

# Gone on with later: looked at first; the open ones are cut with a rest between, and close it.
start '--resume divide-12'
shows 'at its end, and not done'
shows 'must have 4 cuts'
shows 'spindle at'
press Enter 'NOT DONE'
go_to 2
shows 'STEP 2 of 12'
shows 'OPEN: steps 2 to 9'
press Enter 'OPEN: steps 3 to 9'
press Enter 'OPEN: steps 4 to 9'
t send-keys C-c
shows 'place kept at step 4 of 12'
sane 7 'amid what was open'
start '--resume divide-12'
shows 'Step 4 of 12 comes next'
shows 'must have 6 cuts'
t resize-window -x 40 -y 20
sleep 0.3
shows 'q leave$'
shows 'This job was begun before'
t resize-window -x 80 -y 24
press Enter 'STEP 4 of 12'
go_to 9
shows 'Not confirmed on the way: steps 4 to 8'
t send-keys c
shows 'OPEN: step 9'
press Enter 'ALL MADE'
shows '12 made, 0 left'
t send-keys q
shows 'all made; crankcard follow --record divide-12'
sane 8 'all made out of order'
"$CRANKCARD" follow --list | grep -q '^  divide 12: done, 12 steps' || fail "all are made, and the list does not say so"
echo "ok   follow_tmux"
