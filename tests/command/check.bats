#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# A study checked without being searched.

bats_require_minimum_version 1.5.0

setup() {
  cd "$BATS_TEST_TMPDIR"
  cat >study.lua <<'LUA'
local space = require "brimvolt.space"
return {
  variables = { x = space.real(0, 1), y = space.real(0, 1) },
  evaluate = function(p)
    if p.x > 0.9 then error("too far") end
    return { a = p.x, b = 1 - p.x, c = p.y }
  end,
  minimise = { "a", "b" },
  limits = { a = { max = 0.5 }, c = { max = 0.25 } },
}
LUA
}

@test "check counts what is feasible, what fails and which limits forbid" {
  run "$BRIMVOLT" check study.lua --points 1000
  [ "$status" -eq 0 ]
  # Latin hypercube: 0.9 of the points are evaluated, of these 5/9 meet a and
  # a quarter meets c.
  [[ $output == *"evaluated    900 of 1000 points"* ]]
  [[ $output == *"100 points failed: the evaluation raised an error (error)"* ]]
  [[ $output == *"    100  study.lua:5: too far"* ]]
  [[ $output == *"brimvolt point study.lua x=0.9"* ]]
  [ "$(grep -c 'too far' <<<"$output")" -eq 1 ]
  [[ $output =~ "55.6 %" ]]
  # Both at once are met by 5/36 of 900; c alone forbids 5/9 times 3/4.
  feasible=$(sed -n 's/.* points, \([0-9]*\) feasible.*/\1/p' <<<"$output")
  [ "$feasible" -gt 100 ]
  [ "$feasible" -lt 150 ]
  read -r met _ alone _ < <(grep 'c at most 0.25' <<<"$output")
  awk -v met="$met" -v alone="$alone" \
    'BEGIN { exit !(met > 22 && met < 28 && alone > 38 && alone < 45) }'
}

@test "check gives the same answer for any number of workers" {
  "$BRIMVOLT" check study.lua --jobs 1 | grep -v cost >one
  "$BRIMVOLT" check study.lua --jobs 2 | grep -v cost >two
  cmp one two
}

@test "a study that cannot be evaluated is told with file and line" {
  sed -i 's/p.x > 0.9/true/' study.lua
  run "$BRIMVOLT" check study.lua
  [ "$status" -eq 65 ]
  [[ $output == *"study.lua:5: too far"* ]]
}

@test "where no point can be evaluated nothing is told of the limits" {
  sed -i 's/return { a/return { reason = "too dear", a/' study.lua
  run "$BRIMVOLT" check study.lua
  [ "$status" -eq 0 ]
  [[ $output == *"evaluated    0 of 500 points, 0 feasible (0.0 %)"*"No point tells of the limits."*"study.lua: impossible: too dear"* ]]
  [[ $output != *"at most"* ]]
}

@test "the cost is told in plain numbers" {
  run "$BRIMVOLT" check study.lua
  [[ $output =~ cost\ +[0-9.]+\ us\ an\ evaluation,\ [0-9]+/s\ with ]]
}

@test "ratings that designs exceed without a limit on them are told" {
  cat >forgot.lua <<'END'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local job = charger.job {
  supply_voltage = 24, target_voltage = 4000, storage_capacitance = 2e-6, shots_per_second = 40,
}
return {
  variables = { peak_current = space.real(20, 30), max_frequency = space.log(60e3, 120e3) },
  evaluate = function(x)
    return charger.design(job, {
      peak_current = x.peak_current, max_frequency = x.max_frequency,
      core = "ETD44/22/15", turns_ratio = 11, rectifier = "doubler",
    })
  end,
  minimise = { "charge_time", "loss_energy" },
  limits = { window_fill = { max = 1 } },
}
END
  "$BRIMVOLT" check forgot.lua --points 60 >told
  grep -E '^([0-9]+) of \1 designs have switch_current_margin below 0, which no limit forbids$' told
  grep -E '^[0-9]+ of [0-9]+ designs have charge_duty above 1, which no limit forbids$' told
  run ! grep -E 'window_fill above|switch_voltage_margin below' told
  "$BRIMVOLT" search forgot.lua --quiet --evaluations 300 --output forgot.csv 2>err
  grep -E '^([0-9]+) of \1 designs have switch_current_margin below 0' err
  "$BRIMVOLT" sheet forgot.csv --row 1 >sheet.md
  grep -E '^> The switch carries [0-9.]+ A, more than its derated rating' sheet.md
  run ! grep 'The switch sees' sheet.md
  # an objective or a limit on it is knowledge enough
  sed -i -e 's/window_fill = /switch_current_margin = { min = -100 }, &/' \
    -e 's/"charge_time", /"charge_duty", /' forgot.lua
  "$BRIMVOLT" check forgot.lua --points 60 >told
  run ! grep -E 'have (switch_current_margin|charge_duty) ' told
  grep -q 'have diode_current_margin below 0' told
}

@test "a name in results that no design has is told, with the nearest" {
  cat >named.lua <<'END'
local space = require "brimvolt.space"
return {
  variables = { a = space.real(0, 1) },
  results = { prise = { unit = "EUR" }, price = { unit = "EUR" }, a = { unit = "V" } },
  evaluate = function(x) return { price = x.a, time = -x.a } end,
  minimise = { "price", "time" },
}
END
  "$BRIMVOLT" check named.lua --points 20 >told
  [ "$(grep '^results:' told)" = 'results: no design has "prise"; did you mean "price"?' ]
  "$BRIMVOLT" search named.lua --quiet --evaluations 100 --output named.csv 2>err
  [ "$(<err)" = 'results: no design has "prise"; did you mean "price"?' ]
}

@test "a variable that changes nothing is told, one that counts for one kind isn't" {
  sed -i 's/y = space.real(0, 1)/y = space.real(0, 1), sectoins = space.whole(1, 4),\
    one = space.real(2, 2), stages = space.whole(1, 9), kind = space.choice { "a", "b", "c", "d", "e" }/
    s/return { a = p.x,/return { a = p.x + (p.kind == "c" and p.stages or 0),/' study.lua
  run "$BRIMVOLT" check study.lua
  [ "$status" -eq 0 ]
  [[ $output == *"variable sectoins changed no objective and no limit in "*" tries: is it used, and its name right?"* ]]
  [ "$(grep -c '^variable ' <<<"$output")" -eq 1 ]
  # too few points tell nothing
  run "$BRIMVOLT" check study.lua --points 12
  [ "$(grep -c '^variable ' <<<"$output")" -eq 0 ]
}
