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
  [ "$status" -eq 0 ] && [ -z "$stderr" ]
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

@test "what is wrong is told" {
  refused 66 'absent.csv' table absent.csv
  refused 64 'column' table front.csv --sort ff
  refused 64 'fg' table front.csv --keep 'fg < 1'
  printf 'row,a\n1\n' >short.csv
  refused 65 'short.csv' table short.csv
}
