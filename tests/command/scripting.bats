#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# The examples of scripting: what they claim at their top.

bats_require_minimum_version 1.5.0
load common
load examples

setup() {
  cd "$BATS_TEST_TMPDIR"
}

# no_row_where NAME COLUMNS AWK-CONDITION
no_row_where() { ! row_where "$@"; }

@test "own cost: what its top says, with the unit of its own result" {
  example 04-own-cost
  head -n 1 04-own-cost.csv | grep -q cost_EUR
  row_where 04-own-cost cost,charge_time '$1 < 4.35 && $2 < 1.07'
  row_where 04-own-cost cost,charge_time '$1 < 5.7 && $2 < 0.255'
  no_row_where 04-own-cost cost '$1 < 4.2'
}

@test "robust: the corners cost what its top says" {
  example 05-robust --evaluations 8000
  row_where 05-robust core,worst_charge_time,worst_loss_energy '$1 ~ /^ETD44/ && $2 < 0.65 && $3 < 2.9'
  values 05-robust worst_charge_time,charge_time,worst_flux_density,flux_density_narrowest |
    awk -F, '$1 < 1.05 * $2 || $1 > 1.3 * $2 || $3 < 1.01 * $4 || $3 > 1.1 * $4 { exit 1 }'
}

@test "own catalogue: the store's cores and switches" {
  example 06-own-catalogue --evaluations 8000
  values 06-own-catalogue core,power_switch |
    awk -F, '$1 !~ /^store [ABCD]$/ || $2 != "large" { exit 1 }'
  row_where 06-own-catalogue core,power_switch '$1 == "store A" && $2 == "large"'
  row_where 06-own-catalogue core,charge_time '$1 == "store D" && $2 < 0.35'
}

@test "rectifiers: each has its place" {
  example 07-rectifiers --seed 5
  row_where 07-rectifiers kind,core_volume,diodes '$1 == "split" && $2 > 20e-6 && $3 >= 2'
  row_where 07-rectifiers kind,core_volume,diodes '$1 == "single" && $2 < 12e-6 && $3 == 1'
  row_where 07-rectifiers kind,core_volume,loss_energy '$1 == "split" && $2 < 80e-6 && $3 < 1.5'
  no_row_where 07-rectifiers kind,core_volume,loss_energy,diodes '$1 == "single" && $4 == 1 && $3 < 1.6'
  row_where 07-rectifiers kind,core_volume,loss_energy '$1 == "single" && $2 < 6e-6 && $3 < 4.5'
  no_row_where 07-rectifiers kind '$1 ~ /doubler|ladder/'
  sed 's/kind = space.choice {.*}/kind = space.choice { "doubler", "doublers", "ladder" }/' \
    "$ROOT/scripts/07-rectifiers.lua" >multipliers.lua
  "$BRIMVOLT" search multipliers.lua --output multipliers.csv --quiet
  row_where multipliers kind,core_volume,loss_energy '$1 == "doubler" && $2 < 5.5e-6 && $3 > 4.8 && $3 < 5.4'
}

@test "two stages: the coarse one finds what a plain search needs more for" {
  # the area a front covers below 3 J and 90 cm3
  area() {
    values "$1" loss_energy,core_volume | sort -t, -g | awk -F, -v top=90e-6 \
      '$2 < top { sum += (3 - $1) * (top - $2); top = $2 } END { print 1e6 * sum }'
  }
  for seed in 1 2 3 4 5 6 7 8 9 10; do
    example 08-two-stage --evaluations 300 --seed $seed
    area 08-two-stage >>coarse
    example 08-two-stage --evaluations 300 --seed $seed -- plain
    area 08-two-stage >>plain
  done
  paste coarse plain
  paste coarse plain | awk '{ a += $1; b += $2 } END { exit !(a > 1.03 * b) }'
}

@test "own model: the battery in the front" {
  example 10-own-model
  row_where 10-own-model battery_capacity,nights '$1 <= 55 && $2 >= 3'
  no_row_where 10-own-model battery_capacity,nights '$1 < 50'
  row_where 10-own-model battery_capacity,nights '$1 >= 95 && $2 > 6'
}

@test "ways of charging: the boundary loses least, two levels need less core" {
  example 12-ways --evaluations 3000
  row_where 12-ways way,way_loss '$1 == "boundary" && $2 < 2.3'
  no_row_where 12-ways way,way_loss,way_core '$1 != "boundary" && ($2 < 1.95 || $2 < 4 && $3 < 1.5)'
  row_where 12-ways way,way_core,way_loss '$1 == "two_levels" && $2 < 0.6 && $3 < 7'
  no_row_where 12-ways way '$1 == "fixed_frequency"'
  run -1 "$BRIMVOLT" point "$ROOT/scripts/12-ways.lua" way=constant_output_current \
    turns_ratio=27.7 peak_current=4.37 max_frequency=115e3
  [[ "$output" == *"impossible: time_unreachable"* ]]
}

@test "sweep over the target: loss and sections grow with the voltage" {
  "$BRIMVOLT" sweep "$ROOT/scripts/09-sweep-target.lua" --output sweep --evaluations 6000 --quiet
  for v in 600 1500 3000; do
    cp "sweep/cases/$v V.csv" $v.csv
    values $v core,loss_energy | awk -F, '$1 ~ /^ETD49/ && ($2 < least || !least) { least = $2 } END { print least }'
  done >least
  awk 'NR > 1 && $1 < 1.1 * last { exit 1 } { last = $1 } END { exit NR != 3 || $1 < 2.1 }' least
  row_where 600 core '$1 ~ /^(EFD20|RM 8)/'
  row_where 3000 core,sections '$1 ~ /^ETD54/ && $2 >= 5'
}

@test "every example repeats to the byte in a fresh process" {
  local run=0 name
  for file in "$ROOT"/scripts/[0-9]*.lua; do
    name=$(basename "$file" .lua)
    example "$name" --evaluations 400 --rows 40 --jobs 1
    mv "$name.csv" first.csv
    example "$name" --evaluations 400 --rows 40 --jobs 2
    cmp first.csv "$name.csv"
    run=$((run + 1))
  done
  [ $run -ge 12 ]
}

# A box where one design in five hundred is possible: with its impossibility
# limited a refused one tells the way. Without that limit three of these seeds
# found nothing in as many evaluations.
@test "a limit on impossibility leads out of a box of refused designs" {
  cat >refused.lua <<'END'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local core = require("brimvolt.catalogue").cores { name = "ETD34/17/11" }[1]
local job = charger.job {
  supply_voltage = { min = 21, nominal = 24, max = 29 }, target_voltage = 1500,
  storage_capacitance = 33e-6, supply_resistance = 1.6,
}
return {
  variables = {
    turns_ratio = space.log(20, 9000), peak_current = space.log(11, 9000),
    max_frequency = space.log(1e5, 9e6), clamp_ratio = space.log(1.01, 90),
  },
  evaluate = function(x)
    x.core = core
    return charger.design(job, x)
  end,
  minimise = { "loss_energy", "charge_time" },
  limits = {
    window_fill = { max = 1 }, switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 }, flux_margin = { min = 0.1 },
    impossibility = { max = 0 },
  },
}
END
  found=0
  for seed in 1 2 3 4 5 6 7 8; do
    if "$BRIMVOLT" search refused.lua --output front.csv --evaluations 500 --seed $seed 2>told; then
      found=$((found + 1))
    fi
    [ "$(grep -c 'points failed' told)" -eq 0 ]
  done
  echo "$found of 8 seeds"
  [ "$found" -ge 7 ]
}

@test "lines that workers print don't mix" {
  study talks.lua '    print("abcdefghijklmnopqrstuvwxyz", "0123456789", {})'
  "$BRIMVOLT" search talks.lua --evaluations 2000 --jobs 2 --quiet --output talks.csv 2>lines
  [ "$(wc -l <lines)" -gt 2000 ]
  [ "$(sort -u lines)" = $'abcdefghijklmnopqrstuvwxyz\t0123456789\ttable' ]
}
