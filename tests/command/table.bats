#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt table.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  study good.lua
  "$BRIMVOLT" search good.lua --quiet --evaluations 800 --rows 20 --output front.csv
}

@test "all rows as a table, or as csv; from a file or standard input" {
  run --separate-stderr "$BRIMVOLT" table front.csv
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
  [[ $output == *row*f*g* ]]
  "$BRIMVOLT" table front.csv --format csv --columns row,a,b,kind,f,g >again.csv
  cmp again.csv front.csv
  "$BRIMVOLT" table - <front.csv --format csv --columns row,a,b,kind,f,g | cmp - front.csv
}

@test "kept, sorted and chosen rows" {
  run --separate-stderr "$BRIMVOLT" table front.csv --keep 'f < 0.5 and kind ~= ""' --sort g --format csv --columns row,f,g
  [ "$status" -eq 0 ]
  [ "${lines[0]}" = row,f,g ]
  awk -F, 'NR > 1 { if ($2 >= 0.5 || $3 < last) bad = 1; last = $3 } END { exit (bad || NR < 3) }' <<<"$output"
  run "$BRIMVOLT" table front.csv --best 5 --format csv
  [ "${#lines[@]}" -eq 6 ]
}

@test "a filter that keeps all rows or none tells the file's units and words" {
  cp "$ROOT"/results/harbour-beacon/front.{csv,schema.json} .
  run --separate-stderr "$BRIMVOLT" table front.csv --keep 'charge_time < 500'
  [ "$status" -eq 0 ]
  [[ $stderr == "--keep kept every row; in the file's units charge_time is from 0."*" to "*" s" ]]
  run --separate-stderr "$BRIMVOLT" table front.csv --keep 'core == "ETD34" and loss_energy > 0'
  [ "$status" -eq 0 ]
  [[ $output == *"0 of 60 rows, 0 kept."* ]]
  [[ $stderr == "--keep kept no row; in the file's units core is one of \""*"\", …, loss_energy is from "*" J" ]]
  run --separate-stderr "$BRIMVOLT" table front.csv --keep 'charge_time < 0.5'
  [ -z "$stderr" ]
}

@test "what is wrong is told" {
  refused 64 "unexpected symbol near '&'; Lua compares with == ~= < <= > >= and joins with and, or, not" \
    table front.csv --keep 'f < 1 && g < 1'
  cp front.csv bare.csv
  refused 64 '--best: expected a front with objectives, found none' table bare.csv --best 3
  refused 66 'absent.csv' table absent.csv
  refused 64 'column' table front.csv --sort ff
  refused 64 'fg' table front.csv --keep 'fg < 1'
  refused 64 'expected a comparison such as charge_time < 1.5, found a name alone' table front.csv --keep ' f '
  refused 65 '--keep: stopped: it takes too long' table front.csv --keep '("a"):rep(30000):find((".-"):rep(20).."b")'
  printf 'row,a\n1\n' >short.csv
  refused 65 'short.csv' table short.csv
}

@test "every number of a table is its cell of the file, as far as it shows" {
  cp "$ROOT"/results/harbour-beacon/front.{csv,schema.json} .
  "$BRIMVOLT" table front.csv --format markdown >table.md
  python3 - <<'END'
import csv, json, re
PREFIX = {"": 1, "f": 1e-15, "p": 1e-12, "n": 1e-9, "u": 1e-6, "m": 1e-3,
          "c": 1e-2, "k": 1e3, "M": 1e6, "G": 1e9, "T": 1e12}
def size(shown, unit):
    """How large a shown unit is in that of the file, term by term."""
    if shown == unit:
        return 1
    factor = 1
    for i, (a, b) in enumerate(zip(shown.split("/"), unit.split("/"))):
        power = int(b[-1]) if b[-1].isdigit() else 1
        a, b = a.rstrip("0123456789"), b.rstrip("0123456789")
        own = PREFIX[a[:-1]] / 1e3 if b == "kg" else PREFIX[a[:len(a) - len(b)]]
        assert b == "kg" or a.endswith(b), (shown, unit)
        factor *= own ** (power if i == 0 else -power)
    return factor
rows = list(csv.DictReader(open("front.csv", newline="")))
fields = {f["title"]: f for f in json.load(open("front.schema.json"))["fields"]}
lines = [re.split(r"(?<!\\)\|", l)[1:-1] for l in open("table.md")]
lines = [[c.strip().replace("\\", "") for c in l] for l in lines]
heads, cells, compared = lines[0], lines[2:], 0
assert len(cells) == len(rows) and len(heads) == len(fields)
for column, head in enumerate(heads):
    name, _, shown = head.partition(" in ")
    field = fields[name]
    factor = size(shown, field.get("unit", ""))
    for row, line in zip(rows, cells):
        text, kept = line[column], row[field["name"]]
        if field["type"] == "string" or kept in ("", "INF"):
            assert text == (kept or "-") or kept == "INF" and text == "inf"
            continue
        mantissa = text.lower().partition("e")
        last = 10.0 ** (int(mantissa[2] or 0) -
                        len(mantissa[0].partition(".")[2]))
        assert abs(float(text) - float(kept) / factor) <= 0.501 * last + 1e-12, \
            (name, text, kept)
        compared += 1
assert compared > 10000, compared
END
}
