#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Names of results are told before anything is searched.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  cat >job.lua <<'LUA'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local job = charger.job { supply_voltage = 24, target_voltage = 1500, storage_capacitance = 33e-6 }
-- charge_time is what counts; charge_tme would be a slip
return {
  variables = { turns_ratio = space.log(8, 60), peak_current = space.log(2, 20) },
  evaluate = function(x)
    local d = charger.design(job, { turns_ratio = x.turns_ratio, peak_current = x.peak_current,
      max_frequency = 80e3, core = "ETD34/17/11" })
    if d.reason ~= "ok" then return d end
    d.price = 30 * d.copper_mass
    return d
  end,
  minimise = { "charge_time", "price" },
  limits = {
    window_fill = { max = 1 },
  },
}
LUA
}

# told MESSAGE: check and search end with it and nothing else is done
told() {
  refused 65 "brimvolt: $1" check job.lua
  refused 65 "brimvolt: $1" search job.lua --output f.csv
  [ ! -e f.csv ]
  [[ $stderr != *evaluations* ]]
}

@test "a slip in minimise: line, entry and the nearest name" {
  sed -i 's/minimise = { "charge_time"/minimise = { "charge_tme"/' job.lua
  told 'job.lua:14: minimise: evaluate gave no result "charge_tme"; did you mean "charge_time"?'
}

@test "a slip in limits, where the word is in a comment before" {
  sed -i 's/window_fill = {/window_fil = {/; 4s/$/, and limits of window_fil/' job.lua
  told 'job.lua:16: limits: evaluate gave no result "window_fil"; did you mean "window_fill"?'
}

@test "a slip in a result of one's own that impossible points leave out" {
  sed -i 's/"price" }/"prise" }/' job.lua
  told 'job.lua:14: minimise: evaluate gave no result "prise"; did you mean "price"?'
}

@test "a slip where nearly every point is impossible" {
  sed -i 's/"price" }/"prise" }/; s/if d.reason ~= "ok"/if d.reason ~= "ok" or x.turns_ratio < 50/
    s/then return d end/then return { reason = "small ratio" } end/' job.lua
  told 'job.lua:14: minimise: evaluate gave no result "prise"; did you mean "price"?'
}

@test "a study of few possible points is no slip" {
  sed -i 's/if d.reason ~= "ok"/if d.reason ~= "ok" or x.turns_ratio < 59/
    s/then return d end/then return { reason = "small ratio" } end/' job.lua
  "$BRIMVOLT" search job.lua --evaluations 600 --quiet --output f.csv
  [ -s f.csv ]
}

@test "a study that errs at most points is searched all the same" {
  sed -i 's/local d = /if x.turns_ratio < 45 or x.peak_current > 8 then error("out of the tables") end\n&/' job.lua
  "$BRIMVOLT" search job.lua --evaluations 600 --quiet --output f.csv 2>err
  [ -s f.csv ]
  grep -q 'out of the tables' err
}

@test "what errs everywhere is told with the command that repeats it" {
  sed -i 's/local d = /error("not done yet")\n&/' job.lua
  refused 65 'job.lua: cannot evaluate any of 64 points: job.lua:8: not done yet' check job.lua
  command=$(sed -n 's/^ *the first: brimvolt //p' <<<"$stderr")
  run --separate-stderr bash -c "'$BRIMVOLT' $command"
  [ "$status" -eq 65 ]
  [[ $stderr == *'job.lua:8: not done yet'* ]]
}

@test "a limit's own function that errs at every point is told" {
  sed -i 's/window_fill = .*/window_fill = { max = function(r) return r.allowed end },/
    s/core = "ETD34/core = x.turns_ratio > 30 and "EFD15\/8\/5" or "ETD34/' job.lua
  refused 65 'job.lua: cannot evaluate any of 64 points: job.lua:16: design has no field "allowed"' check job.lua
  command=$(sed -n 's/^ *the first: brimvolt //p' <<<"$stderr")
  run --separate-stderr bash -c "'$BRIMVOLT' $command"
  [ "$status" -eq 65 ]
  [[ $stderr == *'design has no field "allowed"'* ]]
}

@test "a limit's own function without an end is told at once" {
  sed -i 's/window_fill = .*/window_fill = { max = function() while true do end end },/
    s/if d.reason/if x.turns_ratio > 30 then return { reason = "large ratio" } end\n&/' job.lua
  refused 65 'job.lua: cannot evaluate any of 2 points: ' check job.lua
}
