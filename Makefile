# crankcard: build, test, install. Settings first; DEVELOPERS.md has a line for each target.

CC      ?= cc
CFLAGS  ?= -O2 -g
WARN     = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
           -Wwrite-strings -Wundef -Wformat=2
PREFIX  ?= /usr/local
DESTDIR ?=
BUILD   ?= build
PYTHON  ?= python3

# Nothing below needs changing for an ordinary build.

# Hardening, where compiler and linker know it; make HARDEN=no leaves it out. Sanitizers bring their own checks.
HARDEN ?= yes
known = $(shell echo 'int main(void) { return 0; }' | $(CC) -Werror $(filter-out --coverage,$(CFLAGS)) $(1) -include stdio.h -x c -o /dev/null - 2> /dev/null && echo '$(1)')
ifeq ($(HARDEN)$(findstring -fsanitize,$(CFLAGS)),yes)
HARDEN_C  := $(call known,-U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2) $(call known,-fstack-protector-strong) \
             $(call known,-fstack-clash-protection)
HARDEN_LD := $(call known,-z relro -z now)
endif

# A plan is some hundred bytes: GCC would copy it by an instruction of x86 that takes longer to begin than memcpy to end.
COPY := $(call known,-mstringop-strategy=libcall)

# The same bytes in whatever folder it is built: debugging notes begin at the source's.
PREFIX_MAP := $(call known,-ffile-prefix-map=$(CURDIR)=.)

VERSION  := $(shell sed -n 's/^\#define CC_VERSION "\(.*\)"/\1/p' include/crankcard/status.h)
SOVERSION = 0

# Every .c file below src/ and tests/test_*.c is built: a new file needs no line here.
LIB_SRC  := $(sort $(wildcard src/core/*.c src/plan/*.c src/trade/*.c))
CLI_SRC  := $(sort $(wildcard src/cli/*.c src/cli/*/*.c))
TEST_SRC := $(sort $(wildcard tests/test_*.c))

LIB_OBJ   = $(LIB_SRC:%.c=$(BUILD)/%.o) $(BUILD)/default_profile.o
PIC_OBJ   = $(LIB_SRC:%.c=$(BUILD)/pic/%.o) $(BUILD)/pic/default_profile.o
CLI_OBJ   = $(CLI_SRC:%.c=$(BUILD)/%.o)
TESTS     = $(TEST_SRC:tests/%.c=$(BUILD)/tests/%)

STATIC_LIB = $(BUILD)/libcrankcard.a
SHARED_LIB = $(BUILD)/libcrankcard.so.$(VERSION)
PROGRAM    = $(BUILD)/crankcard

LIB_LIBS  = -lgmp -linih -lm
# The program takes inih, one short file, from its archive, where there is one: a start has a library less to load. INIH=-linih leaves it.
INIH_ARCHIVE = -Wl,-u,ini_parse -l:libinih.a
INIH     := $(or $(call known,$(INIH_ARCHIVE)),-linih)
TEST_LIBS = -lcmocka -ljansson -lmpfr -lpari

ALL_CPPFLAGS = -Iinclude -Isrc -DCRANKCARD_DATADIR='"$(PREFIX)/share/crankcard"' \
               -D_FILE_OFFSET_BITS=64 -D_TIME_BITS=64 $(CPPFLAGS)
ALL_CFLAGS   = -std=c11 $(WARN) $(HARDEN_C) $(COPY) $(PREFIX_MAP) $(CFLAGS)
ALL_LDFLAGS  = $(HARDEN_LD) $(LDFLAGS)

# A short line for each file that is made; V=1 shows every command whole.
ifeq ($(V),1)
say =
else
say = @echo '$(1) $(2)';
endif

.PHONY: all check check-unit check-layers check-golden check-contract check-dial check-batch check-follow check-documents check-examples check-man check-install \
        check-svg check-gallery check-san check-valgrind golden generated completion gallery install uninstall clean
.DELETE_ON_ERROR:

all: $(PROGRAM) $(STATIC_LIB) $(SHARED_LIB)

$(PROGRAM): $(CLI_OBJ) $(STATIC_LIB)
	$(call say,LD,$@)$(CC) $(CFLAGS) $(ALL_LDFLAGS) -o $@ $(CLI_OBJ) $(STATIC_LIB) $(LIB_LIBS:-linih=$(INIH))

$(STATIC_LIB): $(LIB_OBJ)
	@rm -f $@
	$(call say,AR,$@)$(AR) rcs $@ $(LIB_OBJ)

$(SHARED_LIB): $(PIC_OBJ) src/libcrankcard.map
	$(call say,LD,$@)$(CC) $(CFLAGS) $(ALL_LDFLAGS) -shared -Wl,-soname,libcrankcard.so.$(SOVERSION) \
	  -Wl,--version-script=src/libcrankcard.map -o $@ $(PIC_OBJ) $(LIB_LIBS)

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(call say,CC,$<)$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -MMD -MP -c -o $@ $<

$(BUILD)/pic/%.o: %.c
	@mkdir -p $(@D)
	$(call say,CC,$< (shared))$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -fPIC -MMD -MP -c -o $@ $<

# The default head is compiled in from its file, line by line as a string.
$(BUILD)/default_profile.c: data/heads/small-tilting.ini
	@mkdir -p $(@D)
	$(call say,GEN,$@){ echo '#include "crankcard/head.h"'; echo 'const char cc_default_profile[] ='; \
	  sed -e 's/[\\"]/\\&/g' -e 's/.*/    "&\\n"/' $<; echo '    ;'; } > $@

$(BUILD)/default_profile.o: $(BUILD)/default_profile.c
	$(call say,CC,$<)$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -c -o $@ $<

$(BUILD)/pic/default_profile.o: $(BUILD)/default_profile.c
	@mkdir -p $(@D)
	$(call say,CC,$< (shared))$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -fPIC -c -o $@ $<

# No test is disturbed by what the user keeps for himself.
export XDG_CONFIG_HOME = /nonexistent
unexport CRANKCARD_HEAD

# Tests. Each tests/test_X.c is one program; tests/support.c is common to all.
$(BUILD)/tests/%: $(BUILD)/tests/%.o $(BUILD)/tests/support.o $(STATIC_LIB)
	$(call say,LD,$@)$(CC) $(CFLAGS) $(ALL_LDFLAGS) -o $@ $(filter %.o,$^) $(STATIC_LIB) $(LIB_LIBS) $(TEST_LIBS)

check: check-unit check-layers check-golden check-contract check-dial check-batch check-follow check-documents check-examples check-svg check-gallery \
       check-man check-install

check-unit: $(TESTS) $(PROGRAM)
	@for t in $(TESTS); do \
	  $$t > $$t.log 2>&1 && echo "ok   $${t##*/}" || { cat $$t.log; echo "FAIL $${t##*/}"; exit 1; }; \
	done

# What may use what, and that each rule is red when it is broken (tests/layers.py).
check-layers: all
	@CC='$(CC)' $(PYTHON) tests/layers.py $(BUILD)
	@CC='$(CC)' $(PYTHON) tests/layers_red.py $(BUILD)

# Golden runs of the program (tests/cli); golden writes them anew.
check-golden: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) tests/run_golden.sh compare

golden: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) tests/run_golden.sh rewrite
	@CRANKCARD=$(PROGRAM) PYTHON=$(PYTHON) tests/run_documents.sh rewrite

# The machine formats against the output contract, with Python's fractions as witness.
check-contract: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) $(PYTHON) tests/contract.py
	@$(PYTHON) tests/flats_hands.py $(PROGRAM)
	@$(PYTHON) tests/tilt_hands.py $(PROGRAM)

# Whether gears go on a bracket, against placements searched for in coordinates.
.PHONY: check-bracket
check: check-bracket
check-bracket: $(PROGRAM)
	@$(PYTHON) tests/bracket.py $(PROGRAM) 400

# Readings of a dial from first principles, and cards done by hands that have nothing else.
check-dial: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) $(PYTHON) tests/dial.py

# Fast rows and exact rows are the same bytes; a large batch keeps its order and names each bad line.
check-batch: $(PROGRAM) $(BUILD)/bench/rival
	@CRANKCARD=$(PROGRAM) tests/fast_rows.sh
	@CRANKCARD=$(PROGRAM) tests/batch_large.sh
	@$(PYTHON) tests/rival.py $(PROGRAM) $(BUILD)/bench/rival

# Command lines that cards print, typed as they stand, give what the cards say.
.PHONY: check-commands
check: check-commands
check-commands: $(PROGRAM)
	@$(PYTHON) tests/commands.py $(PROGRAM)

# Numbers of five thousand digits in every option: refused, or answered in numbers.
.PHONY: check-finite
check: check-finite
check-finite: $(PROGRAM)
	@$(PYTHON) tests/finite.py $(PROGRAM)

# Options in either order give the same bytes, none is swallowed, a letter has one meaning, a row has a place.
.PHONY: check-options
check: check-options
check-options: $(PROGRAM)
	@CC='$(CC)' $(PYTHON) tests/options.py $(PROGRAM)

# Commands shown in README.md and docs print what is shown.
check-documents: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) PYTHON=$(PYTHON) tests/run_documents.sh

# Every script in examples runs.
check-examples: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) tests/run_examples.sh

# Pictures hold to the steps they show, are legible and well-formed.
check-svg: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) $(PYTHON) tests/check_svg.py

# Pages of HTML say what the cards say, and are whole by themselves.
.PHONY: check-html
check: check-html
check-html: $(PROGRAM)
	@$(PYTHON) tests/check_html.py $(PROGRAM)

# Rows of the chart for the wall are right, none is missing, and all forms of it have the same.
.PHONY: check-wall
check: check-wall
check-wall: $(PROGRAM)
	@$(PYTHON) tests/wall.py $(PROGRAM)

# The pictures in docs/gallery are those that the program draws; gallery draws them anew.
check-gallery: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) tests/run_gallery.sh compare

gallery: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) tests/run_gallery.sh rewrite

# A vote of three: the program, the naive search of the tests and first principles; COUNT= draws, SEED=.
$(BUILD)/tests/vote/naive: $(BUILD)/tests/vote/naive.o $(BUILD)/tests/support.o $(STATIC_LIB)
	$(CC) $(CFLAGS) $(ALL_LDFLAGS) -o $@ $(filter %.o,$^) $(STATIC_LIB) $(LIB_LIBS) $(TEST_LIBS)

.PHONY: vote
vote: $(PROGRAM) $(BUILD)/tests/vote/naive
	@CRANKCARD=$(PROGRAM) NAIVE=$(BUILD)/tests/vote/naive FOLDER=$(BUILD)/vote COUNT=$(COUNT) SEED=$(SEED) \
	  $(PYTHON) tests/vote/vote.py

# The manual pages and the completion are clean, and say the same as --help; generated makes them say it.
check-man: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) PYTHON=$(PYTHON) tests/run_man.sh

generated completion: $(PROGRAM)
	$(PYTHON) docs/generate.py $(PROGRAM)

# What make install leaves, and a program of a user's own against the shared library.
check-install: all
	@CC='$(CC)' MAKE='$(MAKE)' BUILD=$(BUILD) tests/run_install.sh

# The unit tests and golden runs again, with address and undefined-behaviour checks.
check-san:
	$(MAKE) BUILD=$(BUILD)/san CFLAGS='-O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all' \
	  LDFLAGS='-fsanitize=address,undefined' check-unit check-golden check-corpus

# ---- machines: docs/testing.md ----

# 128-bit integers in two words, as where the compiler has none.
.PHONY: check-words check-32 check-cross check-reproducible
check-words:
	$(MAKE) BUILD=$(BUILD)/words CPPFLAGS=-DCCI_TWO_WORDS check-unit check-golden

# long and pointers of 32 bits. Tests that ask PARI are left out: its 32-bit package brings half a desktop.
CC_32    ?= i686-linux-gnu-gcc
ASK_PARI := $(shell grep -l pari/pari.h tests/test_*.c)
check-32:
	@echo 'left out on 32 bits, for want of PARI: $(ASK_PARI:tests/%.c=%)'
	$(MAKE) BUILD=$(BUILD)/32 CC='$(CC_32)' CFLAGS='-O2 -g -Werror' TEST_LIBS='-lcmocka -ljansson -lmpfr' \
	  TEST_SRC='$(filter-out $(ASK_PARI),$(TEST_SRC))' check-unit check-golden

# Other processors, by cross compiler and emulation; ARCHS="aarch64 armhf s390x" or some of them.
ARCHS ?= aarch64 armhf s390x
check-cross:
	@MAKE='$(MAKE)' tests/cross.sh $(ARCHS)

# Two builds in two folders are the same bytes.
check-reproducible:
	@CC='$(CC)' MAKE='$(MAKE)' tests/reproducible.sh

# The gallery drawn by rsvg-convert and by headless Chromium, compared; needs chromium and ImageMagick.
.PHONY: check-browser
check-browser:
	@tests/browser_pixels.sh

# Pages of HTML printed and 320 px wide in headless Chromium; needs chromium, poppler-utils and tidy.
.PHONY: check-pages
check-pages: $(PROGRAM)
	@$(PYTHON) tests/pages.py $(PROGRAM) $(BUILD)/pages

# README's two commands in an empty Debian 12; needs root and debootstrap.
.PHONY: check-clean-root
check-clean-root:
	@tests/clean_root.sh

# CSV in two spreadsheet programs, soffice and ssconvert, against TSV.
.PHONY: check-sheets
check-sheets: $(PROGRAM)
	@$(PYTHON) tests/sheets.py $(PROGRAM)

# A small part under Valgrind.
check-valgrind: $(PROGRAM) $(BUILD)/tests/test_head $(BUILD)/tests/test_angle
	@CRANKCARD=$(PROGRAM) BUILD=$(BUILD) tests/run_valgrind.sh

# The journal is the program's, not the library's.
$(BUILD)/tests/test_journal $(BUILD)/tests/test_crash: $(addprefix $(BUILD)/src/cli/,keep/journal.o keep/journal_events.o keep/journal_place.o keep/journal_store.o keep/journal_text.o keep/row_set.o base/memory.o base/names.o base/guard.o base/environment.o)

# So are the calls that begin a journal.
$(BUILD)/tests/test_crash: ALL_LDFLAGS += -Wl,--wrap=mkdir,--wrap=fsync,--wrap=linkat

# Which calls replace a file is noted as they are made. (With files over 2 GiB mkstemp is called mkstemp64.)
$(BUILD)/tests/test_new_file: $(addprefix $(BUILD)/src/cli/base/,files.o guard.o memory.o)
$(BUILD)/tests/test_new_file: ALL_LDFLAGS += -Wl,--wrap=mkstemp,--wrap=write,--wrap=fsync,--wrap=rename,--wrap=mkstemp64,--defsym=__wrap_mkstemp64=__wrap_mkstemp

# Records and what they declare are the program's too.
$(BUILD)/tests/test_record: $(addprefix $(BUILD)/src/cli/,out/record.o out/form.o out/csv.o out/json.o out/quantities.o base/memory.o base/guard.o)

# The hands of a card's set-up and its numbers are the program's too.
$(BUILD)/tests/test_hands $(BUILD)/tests/test_hand_words $(BUILD)/tests/test_digits: $(filter-out $(BUILD)/src/cli/main.o,$(CLI_OBJ))

# follow killed, on full disks, in a real terminal, its journal taken away: no confirmed step is lost.
check-follow: $(PROGRAM)
	@CRANKCARD=$(PROGRAM) tests/follow_rounds.sh & rounds=$$!; \
	  for t in kill full tmux; do CRANKCARD=$(PROGRAM) tests/follow_$$t.sh || exit 1; done; \
	  $(PYTHON) tests/follow_unkind.py $(PROGRAM) && wait $$rounds

# Whatever lies where a head is looked for is used, or refused and named.
.PHONY: check-heads
check: check-heads
check-heads: $(PROGRAM)
	@$(PYTHON) tests/head_places.py $(PROGRAM)

# Nothing that does something to a terminal comes out raw, wherever it was put in.
.PHONY: check-safe
check: check-safe
check-safe: $(PROGRAM)
	@$(PYTHON) tests/safe_text.py $(PROGRAM)

# --output and standard output: signals, links, full disks, closed pipes.
.PHONY: check-output
check: check-output
check-output: $(PROGRAM)
	@$(PYTHON) tests/output_file.py $(PROGRAM)

# What earlier versions kept, journals and profiles, is resumed and read.
.PHONY: check-kept
check: check-kept
check-kept: $(PROGRAM)
	@$(PYTHON) tests/kept/kept.py $(PROGRAM)

# ---- fuzzing, faults, speed, coverage: docs/testing.md, docs/performance.md ----

FUZZ_SRC  := $(wildcard tests/fuzz/fuzz_*.c)
FUZZ_NAMES = $(FUZZ_SRC:tests/fuzz/fuzz_%.c=%)
FUZZ_OBJ   = $(filter-out $(BUILD)/src/cli/main.o,$(CLI_OBJ)) $(STATIC_LIB)
REPLAYS    = $(FUZZ_NAMES:%=$(BUILD)/tests/fuzz/replay_%)
FUZZERS    = $(FUZZ_NAMES:%=$(BUILD)/tests/fuzz/search_%)
SECONDS   ?= 60

$(BUILD)/tests/fuzz/replay_%: $(BUILD)/tests/fuzz/fuzz_%.o $(BUILD)/tests/fuzz/replay.o $(FUZZ_OBJ)
	$(call say,LD,$@)$(CC) $(CFLAGS) $(ALL_LDFLAGS) -o $@ $^ $(LIB_LIBS)

$(BUILD)/tests/fuzz/search_%: $(BUILD)/tests/fuzz/fuzz_%.o $(FUZZ_OBJ)
	$(call say,LD,$@)$(CC) $(CFLAGS) $(ALL_LDFLAGS) -fsanitize=fuzzer -o $@ $^ $(LIB_LIBS)

.PHONY: check-corpus fuzz fuzz-run
check: check-corpus

# Every input kept in tests/fuzz/corpus, once.
check-corpus: $(REPLAYS)
	@for t in $(FUZZ_NAMES); do \
	  $(BUILD)/tests/fuzz/replay_$$t tests/fuzz/corpus/$$t/* && echo "ok   corpus of $$t" || exit 1; \
	done

# Search with libFuzzer, SECONDS for each target (FUZZ_NAMES="angle length" for some); finds stay in build/fuzz.
fuzz:
	$(MAKE) BUILD=build/fuzz CC=clang CFLAGS='-O1 -g -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all' \
	  LDFLAGS='-fsanitize=address,undefined' FUZZ_NAMES='$(FUZZ_NAMES)' SECONDS=$(SECONDS) fuzz-run

# Requests that take long, climbed to for SECONDS; heads and command lines stay in build/work (tests/fuzz_work.py).
.PHONY: fuzz-work
fuzz-work: $(PROGRAM)
	@$(PYTHON) tests/fuzz_work.py $(PROGRAM) $(BUILD)/work --seconds $(SECONDS) --seed $(SEED)

fuzz-run: $(FUZZERS)
	@BUILD=$(BUILD) SECONDS=$(SECONDS) tests/run_fuzz.sh $(FUZZ_NAMES)

# Which lines the unit tests, golden runs and corpora run; the others are listed in build/coverage/uncovered.txt.
.PHONY: coverage
coverage:
	rm -rf build/coverage
	$(MAKE) BUILD=build/coverage HARDEN=no CFLAGS='-O0 -g --coverage' LDFLAGS=--coverage \
	  check-unit check-golden check-corpus check-contract check-svg check-gallery check-follow > /dev/null
	@$(PYTHON) tests/coverage.py build/coverage

# One-token changes of the source, each run against the tests: COUNT of them drawn with SEED, in lines changed
# since SINCE, in FILES, or AGAIN=build/mutants/mutants.tsv: those that survived there (tests/mutants.py). Objects without debugging notes, so that equal code is equal bytes.
COUNT ?= 100
SEED  ?= 1
SINCE ?=
FILES ?=
AGAIN ?=
MUTANTS      = build/mutants
MUTANT_FLAGS = -O1 -fPIC -fno-semantic-interposition
.PHONY: mutants mutants-objects
mutants: export CC := $(CC)
mutants: export MUTANT_CFLAGS = $(ALL_CPPFLAGS) -std=c11 $(MUTANT_FLAGS)
mutants: export MUTANT_LIBS = $(LIB_LIBS) $(TEST_LIBS)
mutants-objects: $(LIB_OBJ) $(CLI_OBJ) $(TEST_SRC:%.c=$(BUILD)/%.o) $(BUILD)/tests/support.o

mutants:
	@$(MAKE) BUILD=$(MUTANTS) HARDEN=no CFLAGS='$(MUTANT_FLAGS)' mutants-objects > /dev/null
	@$(MAKE) BUILD=$(MUTANTS)/reach HARDEN=no CFLAGS='-O0 --coverage' LDFLAGS=--coverage \
	  '$(PROGRAM:$(BUILD)/%=$(MUTANTS)/reach/%)' $(TESTS:$(BUILD)/%=$(MUTANTS)/reach/%) > /dev/null
	@$(PYTHON) tests/mutants.py $(MUTANTS) --count $(COUNT) --seed $(SEED) $(SINCE:%=--since %) $(if $(FILES),--files '$(FILES)') $(AGAIN:%=--again %)

# Ratios within one run; BENCH=--jsonl for JSON Lines.
BENCH_SRC  := $(wildcard tests/bench/*.c)
BENCH_TOOLS = $(BENCH_SRC:tests/bench/%.c=$(BUILD)/bench/%)
.PHONY: bench instructions check-instructions

$(BUILD)/bench/%: tests/bench/%.c $(STATIC_LIB)
	@mkdir -p $(@D)
	$(call say,CC,$<)$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) $(ALL_LDFLAGS) -o $@ $< $(STATIC_LIB) $(LIB_LIBS)

$(BUILD)/bench/empty: tests/bench/empty.c
	@mkdir -p $(@D)
	$(call say,CC,$<)$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $<

$(BUILD)/bench/static: $(CLI_OBJ) $(STATIC_LIB)
	@mkdir -p $(@D)
	$(call say,LD,$@)$(CC) $(CFLAGS) $(ALL_LDFLAGS) -static -o $@ $(CLI_OBJ) $(STATIC_LIB) $(LIB_LIBS)

bench: $(PROGRAM) $(BENCH_TOOLS) $(BUILD)/bench/static
	@$(PYTHON) tests/bench/bench.py $(PROGRAM) $(BUILD)/bench $(BENCH)

# Instruction counts of fixed runs against tests/bench/instructions.tsv; instructions writes it anew.
check-instructions: $(PROGRAM)
	@$(PYTHON) tests/bench/instructions.py $(PROGRAM)

instructions: $(PROGRAM)
	@$(PYTHON) tests/bench/instructions.py $(PROGRAM) rewrite

# One call of the program after the other fails: memory, open, write, read, fsync, rename, close, chmod.
$(BUILD)/tests/faults/shim.so: tests/faults/shim.c
	@mkdir -p $(@D)
	$(call say,CC,$<)$(CC) -O1 -g $(WARN) -shared -fPIC -o $@ $<

.PHONY: check-faults
check-faults: $(PROGRAM) $(BUILD)/tests/faults/shim.so
	@$(PYTHON) tests/faults/faults.py $(PROGRAM) $(BUILD)/tests/faults/shim.so

# ---- install ----

MAN_PAGES = $(wildcard docs/*.1 docs/*.5 docs/*.7)
INSTALL_DIRS = bin lib lib/pkgconfig include/crankcard share/crankcard/heads share/man/man1 \
               share/bash-completion/completions share/doc/crankcard share/doc/crankcard/gallery

$(BUILD)/crankcard.pc: src/crankcard.pc.in Makefile
	@mkdir -p $(@D)
	sed -e 's|@PREFIX@|$(PREFIX)|' -e 's|@VERSION@|$(VERSION)|' $< > $@

install: all $(BUILD)/crankcard.pc
	for d in $(INSTALL_DIRS); do mkdir -p "$(DESTDIR)$(PREFIX)/$$d"; done
	install -m 755 $(PROGRAM) "$(DESTDIR)$(PREFIX)/bin/crankcard"
	install -m 644 $(STATIC_LIB) "$(DESTDIR)$(PREFIX)/lib/libcrankcard.a"
	install -m 755 $(SHARED_LIB) "$(DESTDIR)$(PREFIX)/lib/$(notdir $(SHARED_LIB))"
	ln -sf $(notdir $(SHARED_LIB)) "$(DESTDIR)$(PREFIX)/lib/libcrankcard.so.$(SOVERSION)"
	ln -sf libcrankcard.so.$(SOVERSION) "$(DESTDIR)$(PREFIX)/lib/libcrankcard.so"
	install -m 644 include/crankcard/*.h "$(DESTDIR)$(PREFIX)/include/crankcard"
	install -m 644 $(BUILD)/crankcard.pc "$(DESTDIR)$(PREFIX)/lib/pkgconfig/crankcard.pc"
	install -m 644 data/heads/*.ini "$(DESTDIR)$(PREFIX)/share/crankcard/heads"
	install -m 644 data/crankcard.bash "$(DESTDIR)$(PREFIX)/share/bash-completion/completions/crankcard"
	install -m 644 docs/*.md "$(DESTDIR)$(PREFIX)/share/doc/crankcard"
	install -m 644 docs/gallery/*.svg "$(DESTDIR)$(PREFIX)/share/doc/crankcard/gallery"
	for m in $(MAN_PAGES); do d="$(DESTDIR)$(PREFIX)/share/man/man$${m##*.}"; mkdir -p "$$d"; install -m 644 $$m "$$d"; done

uninstall:
	rm -f "$(DESTDIR)$(PREFIX)/bin/crankcard" "$(DESTDIR)$(PREFIX)"/lib/libcrankcard.* \
	  "$(DESTDIR)$(PREFIX)/lib/pkgconfig/crankcard.pc" \
	  "$(DESTDIR)$(PREFIX)/share/bash-completion/completions/crankcard"
	for m in $(notdir $(MAN_PAGES)); do rm -f "$(DESTDIR)$(PREFIX)/share/man/man$${m##*.}/$$m"; done
	rm -rf "$(DESTDIR)$(PREFIX)/include/crankcard" "$(DESTDIR)$(PREFIX)/share/crankcard" \
	  "$(DESTDIR)$(PREFIX)/share/doc/crankcard"

clean:
	rm -rf $(BUILD)

.SECONDARY:

-include $(LIB_OBJ:.o=.d) $(PIC_OBJ:.o=.d) $(CLI_OBJ:.o=.d) $(TESTS:=.d) $(BUILD)/tests/support.d $(BUILD)/tests/vote/naive.d $(FUZZ_SRC:%.c=$(BUILD)/%.d)
