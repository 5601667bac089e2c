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

VERSION  := $(shell sed -n 's/^\#define CC_VERSION "\(.*\)"/\1/p' include/crankcard/status.h)
SOVERSION = 0
HEADER_DIR = include/crankcard

# Every .c file below src/ and tests/test_*.c is built: a new file needs no line here.
LIB_SRC  := $(wildcard src/core/*.c src/plan/*.c src/trade/*.c)
CLI_SRC  := $(wildcard src/cli/*.c)
TEST_SRC := $(wildcard tests/test_*.c)

LIB_OBJ   = $(LIB_SRC:%.c=$(BUILD)/%.o) $(BUILD)/default_profile.o
PIC_OBJ   = $(LIB_SRC:%.c=$(BUILD)/pic/%.o) $(BUILD)/pic/default_profile.o
CLI_OBJ   = $(CLI_SRC:%.c=$(BUILD)/%.o)
TESTS     = $(TEST_SRC:tests/%.c=$(BUILD)/tests/%)

STATIC_LIB = $(BUILD)/libcrankcard.a
SHARED_LIB = $(BUILD)/libcrankcard.so.$(VERSION)
PROGRAM    = $(BUILD)/crankcard

LIB_LIBS  = -lgmp -linih -lm
TEST_LIBS = -lcmocka -ljansson -lmpfr -lpari

ALL_CPPFLAGS = -Iinclude -Isrc -DCRANKCARD_DATADIR='"$(PREFIX)/share/crankcard"' $(CPPFLAGS)
ALL_CFLAGS   = -std=c11 $(WARN) $(CFLAGS)

.PHONY: all check check-unit install uninstall clean
.DELETE_ON_ERROR:

all: $(PROGRAM) $(STATIC_LIB) $(SHARED_LIB)

$(PROGRAM): $(CLI_OBJ) $(STATIC_LIB)
	$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $(CLI_OBJ) $(STATIC_LIB) $(LIB_LIBS)

$(STATIC_LIB): $(LIB_OBJ)
	rm -f $@
	$(AR) rcs $@ $(LIB_OBJ)

$(SHARED_LIB): $(PIC_OBJ) src/libcrankcard.map
	$(CC) $(CFLAGS) $(LDFLAGS) -shared -Wl,-soname,libcrankcard.so.$(SOVERSION) \
	  -Wl,--version-script=src/libcrankcard.map -o $@ $(PIC_OBJ) $(LIB_LIBS)

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -MMD -MP -c -o $@ $<

$(BUILD)/pic/%.o: %.c
	@mkdir -p $(@D)
	$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -fPIC -MMD -MP -c -o $@ $<

# The default head is compiled in from its file, line by line as a string.
$(BUILD)/default_profile.c: data/heads/small-tilting.ini
	@mkdir -p $(@D)
	{ echo '#include "crankcard/head.h"'; echo 'const char cc_default_profile[] ='; \
	  sed -e 's/[\\"]/\\&/g' -e 's/.*/    "&\\n"/' $<; echo '    ;'; } > $@

$(BUILD)/default_profile.o: $(BUILD)/default_profile.c
	$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -c -o $@ $<

$(BUILD)/pic/default_profile.o: $(BUILD)/default_profile.c
	@mkdir -p $(@D)
	$(CC) $(ALL_CPPFLAGS) $(ALL_CFLAGS) -fPIC -c -o $@ $<

# Tests. Each tests/test_X.c is one program; tests/support.c is common to all.
$(BUILD)/tests/%: $(BUILD)/tests/%.o $(BUILD)/tests/support.o $(STATIC_LIB)
	$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIB_LIBS) $(TEST_LIBS)

check: check-unit

check-unit: $(TESTS) $(PROGRAM)
	@for t in $(TESTS); do \
	  $$t > $$t.log 2>&1 && echo "ok   $${t##*/}" || { cat $$t.log; echo "FAIL $${t##*/}"; exit 1; }; \
	done

clean:
	rm -rf $(BUILD)

-include $(LIB_OBJ:.o=.d) $(PIC_OBJ:.o=.d) $(CLI_OBJ:.o=.d) $(TESTS:=.d)
