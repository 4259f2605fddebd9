#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt plot, from a kept front.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  cp "$ROOT"/tests/view/golden/front.{csv,schema.json} .
}

@test "a front as an svg that stands alone" {
  run --separate-stderr "$BRIMVOLT" plot front.csv --output front.svg
  [ "$status" -eq 0 ]
  [ -z "$stderr$output" ]
  [[ $(<front.svg) == '<svg xmlns="http://www.w3.org/2000/svg"'*'charge_time, '*'</svg>' ]]
  "$BRIMVOLT" plot front.csv | cmp - front.svg
  run ! grep -E '<script|href|nan' front.svg
  "$BRIMVOLT" plot front.csv --x core_volume --y leakage_inductance_H --by core --output other.svg
  grep -q 'leakage_inductance, nH' other.svg
  if command -v python3; then
    python3 -c 'import sys, xml.dom.minidom as m; m.parse(sys.argv[1]); m.parse(sys.argv[2])' front.svg other.svg
  fi
}

@test "what is wrong is told" {
  refused 64 'charge_time' plot front.csv --x charge_tim
  refused 64 'core holds texts' plot front.csv --y core
  refused 66 'absent.csv' plot absent.csv
  refused 73 'nowhere' plot front.csv --output nowhere/front.svg
  printf 'row,a,b\n1,2,3\n' >own.csv
  refused 64 'fewer than two objectives' plot own.csv
  "$BRIMVOLT" plot own.csv --x a --y b --output own.svg
}

@test "numbers as far apart as doubles go are drawn, however many" {
  {
    echo row,a_V,b_m
    for i in {1..6000}; do
      case $((i % 3)) in
      0) echo "$i,1e308,5e-324" ;;
      1) echo "$i,-1e308,1e300" ;;
      *) echo "$i,0,$i" ;;
      esac
    done
  } >far.csv
  for axes in 'a b' 'b a'; do
    read -r x y <<<"$axes"
    "$BRIMVOLT" plot far.csv --x "$x" --y "$y" --output far.svg
    run ! grep -q -- 'nan' far.svg
    grep -q '</svg>' far.svg
  done
}
