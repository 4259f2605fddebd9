#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# The example studies: what they claim at their top, and fronts that repeat.

bats_require_minimum_version 1.5.0
load common
load examples

setup() {
  cd "$BATS_TEST_TMPDIR"
}

@test "harbour beacon: what its top says" {
  example 01-harbour-beacon --evaluations 20000
  row_where 01-harbour-beacon core,charge_time,loss_energy,peak_current,sections \
    '$1 ~ /^ETD34/ && $2 < 0.75 && $3 < 3.1 && $4 < 10.5 && $5 == 3'
  row_where 01-harbour-beacon core,loss_energy '$1 ~ /^ETD44/ && $2 < 2.2'
  row_where 01-harbour-beacon core_volume,hot_spot_temperature '$1 < 3.5e-6 && $2 > 85 && $2 <= 110'
  # most rows have three sections, and every row keeps its limits
  values 01-harbour-beacon sections | awk '$1 == 3 { three++ } END { exit !(three > NR / 2) }'
  values 01-harbour-beacon charge_time_low_supply,layer_voltage,switch_voltage_margin,window_fill |
    awk -F, '$1 > 1.8 || $2 > 500 || $3 < 0 || $4 > 1 { exit 1 }'
}

@test "lake sparker: what its top says" {
  example 02-lake-sparker --evaluations 20000
  row_where 02-lake-sparker core,loss_energy '$1 ~ /^(E 65|ETD59)/ && $2 > 20 && $2 < 27'
  row_where 02-lake-sparker core,loss_energy,chambers '$1 ~ /^ETD49/ && $2 > 24 && $2 < 28 && $3 >= 4'
  values 02-lake-sparker switch_voltage_rating,layer_voltage |
    awk -F, '$2 > 500 { exit 1 } $1 == 1200 { usual++ } END { exit !(usual > NR / 2) }'
}

@test "pulsed-light steriliser: what its top says" {
  example 03-pulsed-light-steriliser --evaluations 20000
  row_where 03-pulsed-light-steriliser core,efficiency,sections '$1 ~ /^PQ 50/ && $2 > 0.97 && $3 == 2'
  row_where 03-pulsed-light-steriliser core,loss_power,hot_spot_temperature '$1 ~ /^PQ 32/ && $2 < 8 && $3 > 90'
}

@test "a charger's front has the same bytes for any number of jobs" {
  example 01-harbour-beacon --evaluations 3000 --jobs 1
  mv 01-harbour-beacon.csv one.csv
  example 01-harbour-beacon --evaluations 3000 --jobs 2
  cmp one.csv 01-harbour-beacon.csv
}

@test "a charger's rows are what point gives, bit for bit" {
  example 01-harbour-beacon --evaluations 3000 --rows 25
  for row in $(seq 25); do
    "$BRIMVOLT" point "$ROOT/scripts/01-harbour-beacon.lua" --front 01-harbour-beacon.csv --row "$row" >/dev/null
  done
}

@test "every row of the beacon's front was simulated cycle by cycle and agrees" {
  "$BRIMVOLT" search "$ROOT/scripts/01-harbour-beacon.lua" --evaluations 4000 \
    --rows 20 --quiet --output "$BATS_TEST_TMPDIR/front.csv" 2>/dev/null
  "$BRIMVOLT" table "$BATS_TEST_TMPDIR/front.csv" --format csv \
    --columns charge_time,charge_time_cycles,charge_time_difference,verification |
    awk -F, 'NR > 1 {
      rows++
      if ($4 != "agrees" || ($2 / $1 - 1 - $3) ^ 2 > 1e-24) exit 1
    } END { exit rows != 20 }'
}
