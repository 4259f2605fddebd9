#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Variables of a study's own: their units, and that they count as results.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  cat >gap.lua <<'END'
local space = require "brimvolt.space"
return {
  variables = { gap = space.log(1e-4, 2e-3), turns = space.whole(5, 40),
                area = space.choice { 97e-6, 125e-6 } },
  results = { gap = { unit = "m", meaning = "whole gap" }, area = { unit = "m2" },
              slack = { unit = "m3" } },
  evaluate = function(x) return { slack = (2e-3 - x.gap) * x.area } end,
  minimise = { "gap", "slack" }, maximise = { "turns" },
  limits = { gap = { min = 3e-4 } },
}
END
  "$BRIMVOLT" search gap.lua --quiet --evaluations 2000 --output front.csv
}

@test "units and meanings of variables are those that results give" {
  [ "$(head -n 1 front.csv)" = "row,area,gap_m,turns,slack_m3" ]
  run "$BRIMVOLT" point gap.lua gap=1e-3
  [[ $output == *"gap "*"0.001 m "*"whole gap"* ]]
  # a choice shows labels, which have no unit
  [[ $output == *"area "*"0.000125"* ]]
  [[ $output != *"0.000125 m2"* ]]
}

@test "an objective that is a variable is one in the front, too" {
  python3 - <<'END'
import json
roles = {f["title"]: f["role"] for f in json.load(open("front.schema.json"))["fields"]}
assert roles["gap"] == "minimise" and roles["turns"] == "maximise", roles
END
  "$BRIMVOLT" plot front.csv | grep -q 'gap'
  "$BRIMVOLT" point gap.lua --front front.csv --row 1 >/dev/null
}

@test "merging keeps what is better in a variable alone" {
  sed 's/minimise = { "gap", "slack" }/minimise = { "gap" }/' gap.lua >less.lua
  "$BRIMVOLT" search less.lua --quiet --evaluations 500 --output a.csv
  "$BRIMVOLT" search less.lua --quiet --evaluations 600 --seed 2 --output b.csv
  run --separate-stderr "$BRIMVOLT" merge a.csv b.csv --output both.csv
  [ "$status" -eq 0 ]
  grep -q '"minimise"' both.schema.json
}

@test "a limit on a variable is told with its value and unit" {
  sed 's/min = 3e-4/min = 3e-3/' gap.lua >none.lua
  run --separate-stderr "$BRIMVOLT" search none.lua --evaluations 300 --output none.csv
  [ "$status" -eq 1 ]
  [[ $stderr == *"gap 0.002 m, allowed at least 0.003 m"* ]]
  run "$BRIMVOLT" table front.csv --near
  grep -qE 'at least 0\.3 mm +at least 0\.2[89][0-9]* mm' <<<"$output"
  [[ $output != *"what the script computes"* ]]
  # the file keeps SI
  grep -q ',at least 0.0003 m,at least 0.0002[89]' front.near.csv
}

@test "a flag is a result, of a design as of a table" {
  cat >flag.lua <<'END'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local job = charger.job { supply_voltage = 24, target_voltage = 300, storage_capacitance = 2e-6 }
return {
  variables = { peak_current = space.log(5, 10) },
  evaluate = function(x)
    local d = charger.design(job, { turns_ratio = 8, peak_current = x.peak_current,
      max_frequency = 1e5, core = "ETD34/17/11" })
    d.is_large = x.peak_current > 6
    return d
  end,
  minimise = { "charge_time" },
}
END
  "$BRIMVOLT" point flag.lua peak_current=8 | grep -qx 'is_large  *1'
  "$BRIMVOLT" point flag.lua peak_current=5 | grep -qx 'is_large  *0'
}
