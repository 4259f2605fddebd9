#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt wave, from a kept front.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  cp "$ROOT"/tests/view/golden/front.{csv,schema.json} .
}

@test "cycles and the whole charge as csv" {
  run --separate-stderr "$BRIMVOLT" wave front.csv --row 2
  [ "$status" -eq 0 ]
  [ "${lines[0]}" = part,cycle,time_s,switch_voltage_V,primary_current_A,secondary_current_A,output_voltage_V ]
  "$BRIMVOLT" wave front.csv --row 2 --output wave.csv
  [ "$(<wave.csv)" = "$output" ]
  [ "$(cut -d, -f1 wave.csv | sort -u | xargs)" = 'first last middle part' ]
  [ "$(awk -F, 'NR > 1 { print $1, $2 }' wave.csv | sort -u | wc -l)" -eq 9 ]
  # The last point is the target, and no part runs back in time.
  awk -F, 'NR > 1 { if ($1 == part && $3 < time) bad = 1; part = $1; time = $3; v = $7 }
    END { exit bad || v < 1499.99 || v > 1500.01 }' wave.csv
  "$BRIMVOLT" wave front.csv --row 2 --show charge --output charge.csv
  [ "$(head -n 1 charge.csv)" = cycle,time_s,output_voltage_V,power_W,frequency_Hz,primary_peak_A,secondary_peak_A ]
  [ "$(wc -l <charge.csv)" -gt 300 ]
}

@test "the charge ends when the row says" {
  # of today's models: those of the kept front are older
  "$BRIMVOLT" search "$ROOT/scripts/01-harbour-beacon.lua" --evaluations 400 --quiet --output new.csv 2>/dev/null
  end=$("$BRIMVOLT" wave new.csv --row 2 --show last | tail -n 1 | cut -d, -f3)
  said=$("$BRIMVOLT" table new.csv --format csv --columns row,charge_time_cycles | sed -n 's/^2,//p')
  awk -v a="$end" -v b="$said" 'BEGIN { exit !(b > 0 && a / b > 0.9999 && a / b < 1.0001) }'
}

@test "fewer or more cycles and points" {
  [ "$("$BRIMVOLT" wave front.csv --row 1 --show middle --cycles 5 --points 2 | awk -F, 'NR > 1 { print $2 }' | sort -u | wc -l)" -eq 5 ]
  few=$("$BRIMVOLT" wave front.csv --row 1 --show first --points 2 | wc -l)
  many=$("$BRIMVOLT" wave front.csv --row 1 --show first --points 20 | wc -l)
  [ "$many" -gt $((5 * few)) ]
}

@test "more points than anybody reads are refused" {
  refused 64 'wave: --cycles times --points: expected at most 100000, found 1000000' \
    wave front.csv --row 1 --cycles 1000 --points 1000
}

@test "pictures stand alone and are well-formed" {
  for show in first middle last charge; do
    "$BRIMVOLT" wave front.csv --row 2 --show $show --output wave.svg
    "$BRIMVOLT" wave front.csv --row 2 --show $show --format svg | cmp - wave.svg
    [[ $(<wave.svg) == '<svg xmlns="http://www.w3.org/2000/svg"'*'</svg>' ]]
    run ! grep -E '<script|href|nan|inf' wave.svg
    if command -v python3; then
      python3 -c 'import sys, xml.dom.minidom as m; m.parse(sys.argv[1])' wave.svg
    fi
  done
}

@test "a picture is of the whole charge unless another is asked for" {
  "$BRIMVOLT" wave front.csv --row 2 --output wave.svg
  "$BRIMVOLT" wave front.csv --row 2 --show charge --format svg | cmp - wave.svg
  refused 64 'expected --show first, middle, last or charge' wave front.csv --row 2 --show cycles --output no.svg
}

@test "columns that the front lacks are told" {
  column=$(head -n 1 front.csv | tr , '\n' | grep -nx diode_drop_V | cut -d: -f1)
  cut -d, --complement -f"$column" front.csv >less.csv
  run --separate-stderr "$BRIMVOLT" wave less.csv --row 1 --output wave.csv
  [ "$status" -eq 0 ]
  [[ $stderr == 'less.csv lacks '*diode_drop_V*': zero or none is taken' ]]
}

@test "what is wrong is told" {
  refused 64 'wave: expected --row ID' wave front.csv
  refused 64 "no row '5' among 4 rows, 1 to 4" wave front.csv --row 5
  refused 64 'expected --show first, middle, last or charge' wave front.csv --row 1 --format svg --show cycles
  refused 64 "found '0'" wave front.csv --row 1 --cycles 0
  refused 66 'absent.csv' wave absent.csv --row 1
  printf 'row,price\n1,3\n' >own.csv
  refused 65 'does not describe a circuit' wave own.csv --row 1
  [[ $stderr == *'storage_capacitance_F'*'turns_ratio_built'* ]]
  refused 73 'nowhere' wave front.csv --row 1 --output nowhere/wave.csv
}
