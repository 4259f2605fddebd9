#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Limits whose bound the script computes: what was allowed is told.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  cat >bound.lua <<'END'
local space = require "brimvolt.space"
return {
  variables = { a = space.real(0, 1), b = space.real(0, 1) },
  results = { f = { unit = "V" }, h = { unit = "m" } },
  evaluate = function(x)
    return { f = 1 - x.a + x.b, g = x.a ^ 2 + x.b, h = 0.02 * x.a, ambient = 0.01 }
  end,
  minimise = { "f", "g" },
  limits = { h = { max = function(r) return r.ambient + 0.005 end, min = 0.001 } },
}
END
  "$BRIMVOLT" search bound.lua --quiet --evaluations 1500 --output front.csv
}

@test "a computed bound is a column with the unit of what it limits" {
  [[ $(head -n 1 front.csv) == *",h_m,limit_max_h_m" ]]
  [[ $(head -n 1 front.csv) != *limit_min* ]]
  [ "$(tail -n +2 front.csv | sed 's/.*,//' | sort -u)" = 0.015 ]
  run "$BRIMVOLT" point bound.lua a=0.1
  [[ $output == *"limit_max_h "*"0.015 m "*"the most that the script allows of h"* ]]
}

@test "near designs, points and refusals tell the number" {
  run "$BRIMVOLT" table front.csv --near
  [[ $output == *"at most 15 mm"*"at most 15."* ]]
  run "$BRIMVOLT" point bound.lua a=0.9
  [[ $output == *"limit not met: h 0.018 m, allowed at most 0.015 m"* ]]
  sed 's/0.005 end/0.5 end/; s/min = 0.001/min = 0.1/' bound.lua >none.lua
  sed -i 's/max = function(r) return r.ambient + 0.5/min = function(r) return r.ambient + 0.5/; s/, min = 0.1 }/ }/' none.lua
  run --separate-stderr "$BRIMVOLT" search none.lua --evaluations 300 --output none.csv
  [ "$status" -eq 1 ]
  [[ $stderr == *"h 0.02 m, allowed at least 0.51 m"* ]]
}

@test "the sheet has it among the limits, and steps are held to it" {
  local row
  row=$(awk -F, 'NR > 1 && $2 > most { most = $2; row = $1 } END { print row }' front.csv)
  run "$BRIMVOLT" sheet front.csv --row "$row" --study bound.lua
  [[ $output == *"| h | 15 mm | at most 15 mm |"*", binds |"* ]]
  [[ $output == *"| breaks h |"* ]]
}
