# SPDX-License-Identifier: MIT
# Brimvolt. `make help` lists the targets.

VERSION := $(shell sed -n 's/.*BV_VERSION "\(.*\)"/\1/p' src/base/version.h)
PREFIX  ?= /usr/local
BUILD   ?= build
SHELL   := bash
CC      ?= cc
CFLAGS  ?= -O2 -g

PACKAGES := liblua5.4-dev libnlopt-dev libcsv-dev libcjson-dev libmd-dev zlib1g-dev

WARNINGS := -Wall -Wextra -Wshadow -Wconversion -Wdouble-promotion \
            -Wstrict-prototypes -Werror
CPPFLAGS += -D_GNU_SOURCE -Isrc -Itests -I$(BUILD)/src \
            $(shell pkg-config --cflags lua5.4 nlopt libcjson libmd zlib)
# No contraction: the same bytes from every compiler and machine. No scalars
# paired to vectors: small structs are stored one by one, and a load of two waits
# for both. No errno from sqrt and no traps, which nobody reads. None of them
# changes a result.
ALL_CFLAGS = -std=c11 $(WARNINGS) -ffp-contract=off -fno-tree-slp-vectorize \
             -fno-math-errno -fno-trapping-math $(CFLAGS) $(SANITIZE)
# librt holds timer_create in glibc before 2.34.
LIBS     := -Wl,--as-needed \
            $(shell pkg-config --libs lua5.4 nlopt libcjson libmd zlib) -lcsv -lm -lrt
TEST_LIBS := $(shell pkg-config --libs check) -lsundials_arkode \
             -lsundials_nvecserial $(LIBS)

SOURCES  := $(sort $(wildcard src/*/*.c))
OBJECTS  := $(SOURCES:%.c=$(BUILD)/%.o)
LIBRARY  := $(BUILD)/libbrimvolt.a
PROGRAM  := $(BUILD)/brimvolt
DEMO     := results/harbour-beacon

# A C test is a program of its own: tests/<room>/check_<name>.c.
CHECKS   := $(patsubst %.c,$(BUILD)/%,$(sort $(wildcard tests/*/check_*.c)))
BATS     := $(sort $(wildcard tests/*/*.bats))
BENCHES  := $(patsubst %.c,$(BUILD)/%,$(sort $(wildcard tests/bench/bench_*.c)))
# What tests share: every other C file of a tests room.
SUPPORT_SOURCES := $(filter-out $(wildcard tests/*/check_*.c tests/bench/*.c), \
                   $(sort $(wildcard tests/*/*.c)))
SUPPORT  := $(BUILD)/tests/libsupport.a
C_FILES  := $(sort $(wildcard src/*.[ch] src/*/*.[ch] tests/*.[ch] tests/*/*.[ch]))
LUA_FILES := $(sort $(wildcard scripts/*.lua scripts/*/*.lua lib/brimvolt/*.lua tests/*/*.lua))

.PHONY: all help deps demo pictures check check-asan soak check-valgrind lint format layers \
        reference \
        bench bench-search fuzz fuzz-build install uninstall dist clean programs
.DELETE_ON_ERROR:
.SECONDARY:

## all: build build/brimvolt
all: $(PROGRAM)

## help: list the targets
help:
	@sed -n 's/^## //p' Makefile | awk -F': ' '{printf "  %-16s %s\n", $$1, $$2}'

## deps: install the Debian packages that building, tests and lint need
deps:
	apt-get update
	DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
	  gcc libc6-dev make pkg-config $(PACKAGES) check libsundials-dev bats \
	  chromium poppler-utils python3 python3-pandas gnuplot-nox openssl clang clang-format-14 \
	  clang-tidy-14 cppcheck lua-check valgrind libclang-rt-14-dev \
	  slurm-wlm munge parallel

$(PROGRAM): $(BUILD)/src/main.o $(LIBRARY)
	@echo "ld $@"
	@$(CC) $(ALL_CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS)

$(LIBRARY): $(OBJECTS)
	@rm -f $@
	$(AR) rcs $@ $^

$(SUPPORT): $(SUPPORT_SOURCES:%.c=$(BUILD)/%.o)
	@rm -f $@
	$(AR) rcs $@ $^

# The sources of the page as C strings.
PAGE := html css js
$(BUILD)/src/view/page.o: $(PAGE:%=$(BUILD)/src/view/page.%.inc)
$(BUILD)/src/view/page.%.inc: src/view/page.%
	@mkdir -p $(@D)
	@sed 's/^ *//; /^\/\*.*\*\/$$/d; s/[\\"?]/\\&/g; s/^/"/; s/$$/\\n"/' $< > $@

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	@echo "cc $<"
	@$(CC) $(CPPFLAGS) $(ALL_CFLAGS) -MMD -MP -c -o $@ $<

$(BUILD)/tests/%: $(BUILD)/tests/%.o $(SUPPORT) $(LIBRARY)
	@echo "ld $@"
	@$(CC) $(ALL_CFLAGS) $(LDFLAGS) -o $@ $^ $(TEST_LIBS)

-include $(wildcard $(BUILD)/*/*.d $(BUILD)/*/*/*.d)

## demo: search the harbour beacon, print its best designs, draw what is kept
demo: $(PROGRAM)
	@mkdir -p $(DEMO)
	$(PROGRAM) search scripts/01-harbour-beacon.lua --seed 1 --rows 60 \
	  --output $(DEMO)/front.csv
	$(PROGRAM) plot $(DEMO)/front.csv --output $(DEMO)/front.svg
	$(PROGRAM) page $(DEMO)/front.csv --output $(DEMO)/page.html
	$(PROGRAM) sheet $(DEMO)/front.csv --study scripts/01-harbour-beacon.lua \
	  --row $$($(PROGRAM) table $(DEMO)/front.csv --best 1 --format csv \
	    --columns row | tail -n 1) --output $(DEMO)/sheet.html
	$(PROGRAM) table $(DEMO)/front.csv --best 12 --columns \
	  row,charge_time,loss_energy,core_volume,core,turns_ratio,peak_current,primary_turns,section_turns,sections,hot_spot_temperature

## pictures: make demo, a picture of its page, and the kept sweep
CHROMIUM := chromium --headless --no-sandbox --disable-gpu --disable-quic \
  --no-first-run --disable-background-networking --disable-component-update \
  --disable-sync --hide-scrollbars
pictures: demo
	$(PROGRAM) sweep scripts/11-sweep-beacon.lua --seed 1 --restart \
	  --output results/beacon-sweep
	profile=$$(mktemp -d) && $(CHROMIUM) --user-data-dir=$$profile \
	  --window-size=1100,1300 --screenshot=$(DEMO)/page.webp \
	  file://$(CURDIR)/$(DEMO)/page.html; code=$$?; rm -rf $$profile; exit $$code

programs: $(PROGRAM) $(CHECKS)

## check: every test
check: programs layers
	tests/run $(BUILD) $(CHECKS) $(BATS)

## check-asan: every test under the address and undefined-behaviour sanitizers
check-asan:
	$(MAKE) check BUILD=$(BUILD)/asan CFLAGS='-O1 -g' \
	  SANITIZE='-fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer'

## soak: 400 kills of a small sweep, and its journal damaged at every byte
soak: programs
	BRIMVOLT=$(CURDIR)/$(PROGRAM) tests/fault/soak 400
	BV_SOAK=1 $(BUILD)/tests/sweep/check_damage

## check-valgrind: the C tests under valgrind
check-valgrind: programs
	CK_FORK=no tests/run --valgrind $(BUILD) $(CHECKS)

## fuzz: feed made-up files to the readers, FUZZ_SECONDS each (clang)
FUZZ_SECONDS ?= 60
FUZZERS := $(patsubst tests/fuzz/fuzz_%.c,%,$(sort $(wildcard tests/fuzz/fuzz_*.c)))
FUZZ_BUILD := CC=clang BUILD=$(BUILD)/fuzz CFLAGS='-O1 -g -Wno-error' \
  SANITIZE='-fsanitize=address,undefined,fuzzer-no-link -fno-sanitize-recover=all'
FUZZ_ALSO_script := scripts
FUZZ_SEEDS_views := front
fuzz: $(FUZZERS:%=fuzz-%)
fuzz-build:
	$(MAKE) $(FUZZ_BUILD) $(FUZZERS:%=$(BUILD)/fuzz/tests/fuzz/fuzz_%) \
	  LDFLAGS=-fsanitize=fuzzer
fuzz-%: fuzz-build
	mkdir -p $(BUILD)/fuzz/$*
	$(BUILD)/fuzz/tests/fuzz/fuzz_$* -max_total_time=$(FUZZ_SECONDS) \
	  -artifact_prefix=$(BUILD)/fuzz/ \
	  -max_len=4000 -rss_limit_mb=2000 -dict=tests/fuzz/$(or $(FUZZ_SEEDS_$*),$*).dict \
	  -verbosity=0 $(BUILD)/fuzz/$* \
	  tests/fuzz/$(or $(FUZZ_SEEDS_$*),$*) $(FUZZ_ALSO_$*)

## lint: formatter, static analysers and luacheck
lint: $(PAGE:%=$(BUILD)/src/view/page.%.inc)
	@clang-format-14 --dry-run -Werror $(C_FILES)
	@cppcheck --quiet --std=c11 --error-exitcode=1 --inline-suppr \
	  --enable=warning,performance,portability \
	  --suppress=missingIncludeSystem -Isrc -I$(BUILD)/src src
	@printf '%s\n' $(SOURCES) src/main.c | xargs -P 2 -I{} clang-tidy-14 --quiet {} \
	  -- -std=c11 $(CPPFLAGS) 2>&1 | grep -v ' warnings generated'; \
	  exit $${PIPESTATUS[1]}
	@$(if $(LUA_FILES),luacheck --quiet $(LUA_FILES))
	@! grep -nE '^ *(! [^|]*|\[.*\] && .*)$$' $$(find tests -name '*.bats') || \
	  { echo 'bats passes over these: a line for each check, "run ! ..."'; false; }

## format: bring every C file into the pinned format
format:
	@clang-format-14 -i $(C_FILES)

## layers: check which room includes which
layers:
	tests/layers

## reference: write lib/reference.md and lib/definitions from the tables
reference: $(BUILD)/tests/script/check_reference
	UPDATE=1 $<

# The search's peers come from pagmo, through the one C++ file of the project.
$(BUILD)/tests/bench/peers.o: tests/bench/peers.cpp tests/bench/peers.h
	@mkdir -p $(@D)
	@echo "c++ $<"
	@$(CXX) -std=c++17 -O2 -Itests -c -o $@ $<

$(BUILD)/tests/bench/search_table: $(BUILD)/tests/bench/search_table.o \
    $(BUILD)/tests/bench/peers.o $(BUILD)/tests/bench/peers_agree.o \
    $(SUPPORT) $(LIBRARY)
	@echo "ld $@"
	@$(CXX) -o $@ $^ -lpagmo -lboost_serialization $(TEST_LIBS)

$(BUILD)/tests/bench/study_table: $(BUILD)/tests/bench/charger_studies.o

## bench-search: compare the search with general-purpose peers, and our charger
## studies with runs of 100 times the budget (kept in build/tests/bench), SEEDS=11
bench-search: $(BUILD)/tests/bench/search_table $(BUILD)/tests/bench/study_table
	$< $(or $(SEEDS),11)
	$(BUILD)/tests/bench/study_table $(BUILD)/tests/bench $(or $(SEEDS),11)

## bench: measure rates and ratios
bench: $(PROGRAM) $(BENCHES)
	tests/bench/run $(BUILD)

## install: copy program, library and catalogues below DESTDIR/PREFIX
install: $(PROGRAM)
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/share/brimvolt
	install -m 755 $(PROGRAM) $(DESTDIR)$(PREFIX)/bin/brimvolt
	cp -R lib scripts $(DESTDIR)$(PREFIX)/share/brimvolt/

## uninstall: remove what install copied
uninstall:
	rm -f $(DESTDIR)$(PREFIX)/bin/brimvolt
	rm -rf $(DESTDIR)$(PREFIX)/share/brimvolt

## dist: make build/brimvolt-VERSION.tar.gz of what git tracks
dist:
	@mkdir -p $(BUILD)
	git archive --format=tar.gz --prefix=brimvolt-$(VERSION)/ \
	  -o $(BUILD)/brimvolt-$(VERSION).tar.gz HEAD

## clean: remove the build
clean:
	rm -rf $(BUILD)
