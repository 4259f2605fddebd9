#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt sheet, from a kept front.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  cp "$ROOT"/tests/view/golden/front.{csv,schema.json} .
}

@test "a sheet goes to standard output, or to a file as its name says" {
  run --separate-stderr "$BRIMVOLT" sheet front.csv --row 2
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
  [ "${lines[0]}" = '# Design sheet: Harbour beacon, 24 V battery to 1.5 kV' ]
  [[ $output == *'storage capacitor can kill'* ]]
  "$BRIMVOLT" sheet front.csv --row 2 --output sheet.md
  [ "$(<sheet.md)" = "$output" ]
  "$BRIMVOLT" sheet front.csv --row 2 --output - | cmp - sheet.md
  "$BRIMVOLT" sheet front.csv --row 2 --output sheet.html
  "$BRIMVOLT" sheet front.csv --row 2 --format html | cmp - sheet.html
  [[ $(head -n 1 sheet.html) == '<!DOCTYPE html>' ]]
  "$BRIMVOLT" sheet - --row 2 --format markdown --output named.html <front.csv
  [[ $(head -n 1 named.html) == '# Design sheet' ]]
}

@test "the page is well-formed and its policy allows exactly its styles" {
  command -v python3 || skip "no python3"
  "$BRIMVOLT" sheet front.csv --row 2 --output sheet.html
  python3 - <<'END'
import base64, hashlib, html.parser, re
page = open("sheet.html", encoding="utf-8").read()
class Reader(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.open, self.styles, self.ids = [], [], []
    def handle_starttag(self, tag, attributes):
        self.ids += [v for k, v in attributes if k == "id"]
        assert not [k for k, v in attributes if k.startswith("on") or k == "style"]
        if tag not in ("meta",):
            self.open.append(tag)
    def handle_startendtag(self, tag, attributes):
        pass
    def handle_endtag(self, tag):
        assert self.open.pop() == tag, tag
    def handle_data(self, data):
        if self.open and self.open[-1] == "style":
            self.styles.append(data)
reader = Reader()
reader.feed(page)
assert reader.open == [], reader.open
assert len(set(reader.ids)) == len(reader.ids)
policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page).group(1)
allowed = re.findall(r"'sha256-([^']*)'", policy)
made = [base64.b64encode(hashlib.sha256(s.encode()).digest()).decode() for s in reader.styles]
assert sorted(allowed) == sorted(made) and made, (allowed, made)
END
}

@test "a browser shows the page without complaint and prints two or three pages" {
  command -v chromium && command -v pdfinfo || skip "no chromium or pdfinfo"
  "$BRIMVOLT" sheet front.csv --row 3 --output sheet.html
  chromium --headless --no-sandbox --disable-gpu --disable-quic \
    --no-first-run --disable-background-networking \
    --disable-component-update --disable-sync --user-data-dir=profile \
    --enable-logging=stderr --no-pdf-header-footer \
    --print-to-pdf=sheet.pdf "file://$PWD/sheet.html" 2>log
  run ! grep -E 'Refused|violates|CONSOLE' log
  chromium --headless --no-sandbox --disable-gpu --disable-quic \
    --no-first-run --user-data-dir=profile --no-pdf-header-footer \
    --print-to-pdf=kept.pdf "file://$ROOT/results/harbour-beacon/sheet.html" 2>log
  [ "$(pdfinfo kept.pdf | sed -n 's/^Pages: *//p')" -le 3 ] # with single steps
  pages=$(pdfinfo sheet.pdf | sed -n 's/^Pages: *//p')
  [ "$pages" -ge 2 ]
  [ "$pages" -le 3 ]
  pdfinfo sheet.pdf | grep 'Page size:.*A4'
}

@test "a front of a study's own results leaves sections out and says so" {
  printf 'row,price,charge_time_s\n1,3,0.5\n' >own.csv
  run --separate-stderr "$BRIMVOLT" sheet own.csv --row 1
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
  [[ $output == *'storage capacitor can kill'* ]]
  [[ $output == *'Left out, since the front lacks the columns'*'Winding specification'* ]]
}

@test "one step in each variable, evaluated by the study" {
  study good.lua
  "$BRIMVOLT" search good.lua --quiet --evaluations 500 --rows 9 --output own.csv
  run --separate-stderr "$BRIMVOLT" sheet own.csv --row 5 --study good.lua
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
  steps=$(sed -n '/One step/,/^$/p' <<<"$output")
  # a and b up and down, and the other kind.
  [ "$(grep -c '^| a ' <<<"$steps")" -eq 2 ]
  [ "$(grep -c '^| kind ' <<<"$steps")" -eq 1 ]
  b=$("$BRIMVOLT" table own.csv --format csv --columns row,b | sed -n 's/^5,//p')
  kind=$("$BRIMVOLT" table own.csv --format csv --columns row,kind | sed -n 's/^5,//p')
  a=$(grep -m 1 '^| a ' <<<"$steps" | cut -d' ' -f3)
  said=$(grep -m 1 '^| a ' <<<"$steps" | sed 's/.*| f \([0-9.e-]*\) .*/\1/')
  f=$("$BRIMVOLT" point good.lua a="$a" b="$b" kind="$kind" --format csv | sed -n 's/^f,\([^,]*\),.*/\1/p')
  awk -v a="$said" -v b="$f" 'BEGIN { exit !(b > 0 && a / b > 0.99 && a / b < 1.01) }'
}

@test "an end of a range that is met but for rounding is no step" {
  study good.lua
  sed -i 's/a = space.real(0, 1)/a = space.log(20e3, 200e3)/; s/x\.a/x.a * 1e-6/g' good.lua
  printf 'row,a,b,kind,f,g\n1,199999.99999999997,0.5,plain,1,1\n' >own.csv
  run "$BRIMVOLT" sheet own.csv --row 1 --study good.lua
  steps=$(sed -n '/One step/,/^$/p' <<<"$output")
  [ "$(grep -c '^| a ' <<<"$steps")" -eq 1 ]
  [ "$(grep -c '^|' <<<"$steps")" -eq 6 ] # heading, rule, a, b twice, kind
}

@test "steps that fail or break a limit say so; a study that changed is told" {
  LIMIT=0.8 study good.lua
  "$BRIMVOLT" search good.lua --quiet --evaluations 500 --rows 9 --output own.csv
  last=$(tail -n 1 own.csv | cut -d, -f1)
  kind=$("$BRIMVOLT" table own.csv --format csv --columns row,kind | sed -n "s/^$last,//p")
  LIMIT=0.8 study good.lua "if x.kind ~= \"$kind\" then error('odd') end"
  run --separate-stderr "$BRIMVOLT" sheet own.csv --row "$last" --study good.lua
  [ "$status" -eq 0 ]
  [[ $output == *'| breaks f |'* ]]
  [[ $(grep '^| kind ' <<<"$output") == *'| no design |'* ]]
  sed -i 's/return { f = x.a/return { f = 2 * x.a/' good.lua
  run --separate-stderr "$BRIMVOLT" sheet own.csv --row "$last" --study good.lua
  [ "$status" -eq 0 ]
  [[ $stderr == "good.lua gives other results for row $last"* ]]
}

# Creepage for pollution degree 2 and material group III: 10 mm a kilovolt
# (IEC 60664-1:2007 table F.4, rows from 250 V to 10 kV; from memory).
@test "what a winder reads can be wound and keeps the standard's distances" {
  front=$ROOT/results/harbour-beacon/front.csv
  for row in 1 20 40 60; do "$BRIMVOLT" sheet "$front" --row $row; done >sheets
  python3 - <<'END'
import re
SIZE = {"": 1, "k": 1e3, "m": 1e-3, "µ": 1e-6, "n": 1e-9}
def numbers(text):
    return [float(n) * SIZE[p] for n, p in
            re.findall(r"([\d.]+) ([kmµn]?)(?:V|m|H)\b", text)]
sheets = open("sheets", encoding="utf-8").read().split("# Design sheet")[1:]
assert len(sheets) == 4
for sheet in sheets:
    lines = [[c.strip() for c in l.split("|")[1:-1]]
             for l in sheet.split("\n") if l.startswith("|")]
    line = lambda name: next(l for l in lines if l[0].startswith(name))
    assert "pollution degree 2" in line("Surroundings")[1]
    assert "material group 3" in line("Insulation, primary")[1]
    path, *_ = numbers(line("Gap")[1])
    assert 0 < path < 5e-3, path
    assert numbers(line("Gap")[1])[1] == path / 2
    turns, layers, across = map(int, re.findall(
        r"^(\d+) turns in (\d+) layer\(s\), up to (\d+) ", line("Primary")[1])[0])
    assert layers == -(-turns // across), (turns, layers, across)
    sections, each, all_turns, layers, chambers, across = map(
        int, re.findall(r"\d+", line("Secondary")[1]))
    assert all_turns == sections * each and layers * chambers * across >= all_turns
    margin, width, build, window = numbers(line("Room")[1])
    assert build <= window
    head = line("secondary and primary or core")
    working = numbers(head[1])[0]
    clearance, creepage = numbers(head[3])
    assert abs(creepage - max(1e-5 * working, clearance)) < 2e-3 * creepage, head
    assert 2 * margin >= creepage * 0.999
    test = numbers(line("insulation, all")[1])[0]
    assert abs(test - (2 * working + 1000)) < 2e-3 * test
END
}

@test "what is wrong is told" {
  refused 64 'sheet: expected --row ID' sheet front.csv
  refused 64 "no row '99' among 4 rows, 1 to 4" sheet front.csv --row 99
  refused 64 "--row: expected ID, found nothing" sheet front.csv --row ''
  refused 64 'expected name or markdown or html' sheet front.csv --row 1 --format pdf
  refused 66 'absent.csv' sheet absent.csv --row 1
  refused 66 'absent.lua' sheet front.csv --row 1 --study absent.lua
  study good.lua
  refused 65 'expected a column for the variable a' sheet front.csv --row 1 --study good.lua
  refused 73 'nowhere' sheet front.csv --row 1 --output nowhere/sheet.md
  printf 'row,a\n1\n' >short.csv
  refused 65 'short.csv' sheet short.csv --row 1
  run --separate-stderr bash -c "'$BRIMVOLT' sheet front.csv --row 1 >/dev/full"
  [ "$status" -eq 74 ]
}

@test "a ladder is told as such: parts, drop, and that nobody simulated it" {
  cat >ladder.lua <<'END'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local core = require("brimvolt.catalogue").cores { name = "ETD44/22/15" }[1]
local job = charger.job {
  supply_voltage = 24, target_voltage = 3000, storage_capacitance = 8e-6,
}
return {
  variables = { turns_ratio = space.log(6, 10), peak_current = space.log(5, 10) },
  evaluate = function(x)
    x.rectifier, x.stages, x.max_frequency, x.core = "ladder", 3, 100e3, core
    return charger.design(job, x)
  end,
  minimise = { "loss_energy", "charge_time" },
}
END
  "$BRIMVOLT" search ladder.lua --output ladder.csv --evaluations 200 --rows 5 --quiet
  values=$("$BRIMVOLT" table ladder.csv --format csv --columns diodes,series_capacitors,stages,verification | tail -n +2)
  [ "$(sort -u <<<"$values")" = '6,6,3,"not simulated: ladder, lower fidelity"' ]
  "$BRIMVOLT" sheet ladder.csv --row 1 >sheet.md
  grep -q 'half-wave ladder of 3 stage(s) on each of 1 section(s)' sheet.md
  grep -q 'Drop and ripple of the ladder' sheet.md
  grep -q 'A ladder of several stages was not simulated cycle by cycle' sheet.md
  refused 65 'no cycles to be drawn: a ladder' wave ladder.csv --row 1
}

@test "a row of several corners is told to be no one charger's" {
  cat >corners.lua <<'END'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local job = charger.job {
  supply_voltage = { min = 10, nominal = 12, max = 15 },
  target_voltage = 450, storage_capacitance = 220e-6,
}
local tolerances = { inductance = 0, delays = 0, leakage = 0, capacitance = 0, samples = 0 }
return {
  variables = { peak_current = space.real(8, 20) },
  evaluate = function(x)
    local corners = charger.corners(job, {
      peak_current = x.peak_current, turns_ratio = 8, max_frequency = 100e3, core = "ETD34/17/11",
    }, tolerances)
    return corners[arg[1]]
  end,
  minimise = { "charge_time", "loss_energy" },
}
END
  for kind in worst nominal; do
    "$BRIMVOLT" search corners.lua --quiet --evaluations 40 --output $kind.csv -- $kind
    "$BRIMVOLT" sheet $kind.csv --row 1 >$kind.md
    "$BRIMVOLT" wave $kind.csv --row 1 2>$kind.err >/dev/null
  done
  grep -q 'results are of several corners' worst.md
  grep -q 'row 1 are of several corners' worst.err
  run ! grep 'several corners' nominal.md
  [ ! -s nominal.err ]
}

@test "a short charge takes whole cycles; of one layer nothing is told between layers" {
  cat >short.lua <<'END'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local job = charger.job { supply_voltage = 24, target_voltage = 400, storage_capacitance = 2e-6 }
return {
  variables = { peak_current = space.real(8, 12) },
  evaluate = function(x)
    return charger.design(job, { peak_current = x.peak_current, turns_ratio = 3,
                                 max_frequency = 100e3, core = "ETD34/17/11" })
  end,
  minimise = { "charge_time", "loss_energy" },
}
END
  "$BRIMVOLT" search short.lua --quiet --evaluations 40 --output short.csv
  "$BRIMVOLT" sheet short.csv --row 1 >short.md
  "$BRIMVOLT" sheet short.csv --row 1 --output short.html
  grep -E '^\| Switching cycles \| [0-9]{2,3}, from ' short.md
  cycles=$("$BRIMVOLT" table short.csv --columns cycles --format csv | sed -n 2p)
  [[ $cycles == *.* ]]
  grep -qF "<data value=\"$cycles\">" short.html
  "$BRIMVOLT" table short.csv --columns secondary_layers --format csv | sed -n 2p | grep -qx 1
  run ! grep 'secondary layers' short.md
  "$BRIMVOLT" sheet front.csv --row 2 | grep -q '^| secondary layers |'
}

@test "single steps that change nothing share a line" {
  cat >idle.lua <<'END'
local space = require "brimvolt.space"
return {
  variables = { a = space.real(0, 1), unused = space.step(0, 1, 0.25),
                spare = space.choice { "p", "q", "r" } },
  evaluate = function(x) return { f = x.a, g = 1 - x.a } end,
  minimise = { "f", "g" },
}
END
  "$BRIMVOLT" search idle.lua --quiet --evaluations 200 --output idle.csv
  run "$BRIMVOLT" sheet idle.csv --row 5 --study idle.lua
  [ "$(grep -c '| the same | hold |$' <<<"$output")" -eq 1 ]
  grep -E '^\| (spare|unused) .*; (spare|unused) .* \| the same \| hold \|$' <<<"$output"
  grep -E '^\| a 0\.[0-9]+ \| f .* \| hold \|$' <<<"$output"
}

@test "the sheet of a long study prints three pages, too" {
  command -v chromium && command -v pdfinfo || skip "no chromium or pdfinfo"
  local study=$ROOT/scripts/07-rectifiers.lua row
  "$BRIMVOLT" search "$study" --quiet --evaluations 3000 --rows 12 --output many.csv 2>log
  for row in 3 12; do
    "$BRIMVOLT" sheet many.csv --row $row --study "$study" --output many.html
    chromium --headless --no-sandbox --disable-gpu --disable-quic \
      --no-first-run --user-data-dir=profile --no-pdf-header-footer \
      --print-to-pdf=many.pdf "file://$PWD/many.html" 2>log
    [ "$(pdfinfo many.pdf | sed -n 's/^Pages: *//p')" -le 3 ]
  done
}
