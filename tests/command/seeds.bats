#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# --seed-designs: a search that begins with the designs of an earlier front.

bats_require_minimum_version 1.5.0
load common
load sweep

setup() {
  cd "$BATS_TEST_TMPDIR"
  study good.lua
}

search() { "$BRIMVOLT" search "$@" --quiet; }

# seeds LINE…: writes seeds.csv
seeds() { printf '%s\n' "$@" >seeds.csv; }

# covered OLD NEW: no row of NEW is needed more to be nowhere worse than each
# row of OLD; f and g are the last columns.
covered() {
  awk -F, 'FNR == 1 { next }
    NR == FNR { f[++n] = $5; g[n] = $6; next }
    { for (i = 1; i <= n; i++) if (f[i] <= $5 && g[i] <= $6) next; bad++; print }
    END { exit bad > 0 }' "$2" "$1"
}

@test "a search goes on from a front and ends nowhere worse" {
  search good.lua --evaluations 600 --output first.csv
  search good.lua --evaluations 600 --seed 2 --output other.csv
  search good.lua --evaluations 600 --seed 2 --seed-designs first.csv --output second.csv
  covered first.csv second.csv
  # a search of its own isn't nowhere worse: the comparison can fail
  run ! covered first.csv other.csv
  search good.lua --evaluations 600 --seed 2 --jobs 3 --seed-designs first.csv --output again.csv
  cmp second.csv again.csv
  grep -q '"seed_designs":[[:space:]]*"[0-9a-f]\{64\}"' second.schema.json
  run ! grep -q seed_designs first.schema.json
}

@test "the demo's kept front seeds a short search that keeps all of it" {
  search "$ROOT/scripts/01-harbour-beacon.lua" --evaluations 3000 --output first.csv
  search "$ROOT/scripts/01-harbour-beacon.lua" --evaluations 1500 --seed 3 \
    --seed-designs first.csv --output second.csv
  columns=charge_time,loss_energy,core_volume
  "$BRIMVOLT" table first.csv --format csv --columns $columns | tail -n +2 >old
  "$BRIMVOLT" table second.csv --format csv --columns $columns | tail -n +2 >new
  [ "$(wc -l <old)" -gt 20 ]
  awk -F, 'NR == FNR { a[++n] = $1; b[n] = $2; c[n] = $3; next }
    { for (i = 1; i <= n; i++) if (a[i] <= $1 && b[i] <= $2 && c[i] <= $3) next
      bad++; print } END { exit bad > 0 }' new old
}

@test "designs outside of today's space are left out and counted" {
  seeds 'row,a,b,kind' '1,0.5,0,plain' '2,0.5,3,plain' '3,0.5,0,gone' '4,0.25,0,odd one'
  run --separate-stderr "$BRIMVOLT" search good.lua --evaluations 300 --seed-designs seeds.csv --output f.csv
  [ "$status" -eq 0 ]
  [[ $stderr == *'seeds.csv: 2 of 4 designs left out, for the study'"'"'s space doesn'"'"'t hold them; the first: seeds.csv: row 2: b: expected a number from 0 to 1, found "3"'* ]]
  search good.lua --evaluations 2 --seed-designs seeds.csv --output f.csv
  grep -q ',0.5,0,plain,' f.csv
  grep -q ',0.25,0,odd one,' f.csv
  seeds 'row,a,b,kind' '7,0.5,3,plain'
  refused 65 'seeds.csv: none of its 1 designs lies in the study'"'"'s space: seeds.csv: row 7: b: expected a number from 0 to 1, found "3"' \
    search good.lua --seed-designs seeds.csv
}

@test "a value that is no step of a grid isn't moved to one" {
  sed -i 's/a = space.real(0, 1), b = space.real(0, 1)/a = space.step(0, 1, 0.1), b = space.whole(0, 3)/' good.lua
  seeds 'a,b,kind' '0.3,1,plain' '0.35,1,plain' '0.3,1.5,plain'
  run --separate-stderr "$BRIMVOLT" search good.lua --evaluations 50 --seed-designs seeds.csv
  [ "$status" -eq 0 ]
  [[ $stderr == *'2 of 3 designs left out'*'row 2: a: expected a number from 0 to 1 in steps of 0.1, found "0.35"'* ]]
}

@test "units of columns are converted, or refused where they are of something else" {
  cat >units.lua <<'END'
local space = require "brimvolt.space"
return {
  variables = { peak_current = space.real(1, 20), gap_mm = space.real(0, 5), width = space.real(0, 1) },
  evaluate = function(x) return { f = x.peak_current + x.gap_mm, g = -x.peak_current - x.width } end,
  minimise = { "f", "g" },
}
END
  seeds 'peak_current_mA,gap_mm,width_mm' '2500,1.5,250'
  search units.lua --evaluations 1 --seed-designs seeds.csv --output f.csv
  grep -q '^1,1.5,2.5,0.25,' f.csv
  seeds 'peak_current_mV,gap_mm,width' '2500,1.5,0.5'
  refused 65 'seeds.csv: column peak_current: expected a unit of A, found the unit mV' \
    search units.lua --seed-designs seeds.csv
}

@test "what a front lacks or holds besides is told" {
  seeds 'row,a,b,kinds' '1,0.5,0.5,plain'
  refused 65 'seeds.csv: expected a column for the variable kind, found none; did you mean kinds?' \
    search good.lua --seed-designs seeds.csv
  seeds 'row,a,b,kind' '1,0.5,0.5,plain' '2,0.5,half,plain'
  refused 65 'seeds.csv: row 2: b: expected a number from 0 to 1, found "half"' \
    search good.lua --seed-designs seeds.csv
  seeds 'row,a,b,kind' '1,0.5,,plain'
  refused 65 'seeds.csv: row 1: b: expected a number from 0 to 1, found ""' \
    search good.lua --seed-designs seeds.csv
  seeds 'row,a,b,kind'
  refused 65 'seeds.csv: expected designs, found no row' search good.lua --seed-designs seeds.csv
  refused 66 'none.csv' search good.lua --seed-designs none.csv
  seeds 'row,a,b,kind' '1,0.5,0.5,plain' '2,0.6,0.5,plain'
  refused 64 '--evaluations: expected at least 2, one for each design to begin with, found 1' \
    search good.lua --evaluations 1 --seed-designs seeds.csv
  # a variable of the earlier study that this one has no more
  search good.lua --evaluations 300 --output first.csv
  sed -i 's/b = space.real(0, 1),//; s/x.b/0/g' good.lua
  run --separate-stderr "$BRIMVOLT" search good.lua --evaluations 300 --seed-designs first.csv
  [ "$status" -eq 0 ]
  [[ $stderr == *"first.csv: its variable b is none of the study's and is left out"* ]]
}

@test "a study's own starts and a front's go together" {
  sed -i 's/  minimise/  start = { { a = 0.125, b = 0 } }, minimise/' good.lua
  seeds 'row,a,b,kind' '1,0.5,0,plain'
  search good.lua --evaluations 2 --seed-designs seeds.csv --output f.csv
  grep -q ',0.125,0,' f.csv
  grep -q ',0.5,0,' f.csv
}

@test "a sweep begins every case with them, and notices others" {
  cases
  seeds 'row,a,b' '1,0.2,0' '2,0.125,0'
  sweep out --seed-designs seeds.csv
  for case in one 'two, or so' three four; do grep -q ',0.2,0,' "out/cases/$case.csv"; done
  sweep out --seed-designs seeds.csv
  seeds 'row,a,b,f' '1,0.2,0,1' '2,0.125,0,1'
  sweep out --seed-designs seeds.csv
  seeds 'row,a,b' '1,0.2,0'
  refused 65 "seed_designs: '" sweep cases.lua --output out --evaluations 1200 --seed-designs seeds.csv
  refused 65 "' there, 'none' now; --restart" sweep cases.lua --output out --evaluations 1200
  "$BRIMVOLT" submit cases.lua --output new --slices 2 --seed-designs 'my seeds.csv' |
    grep -qF "options='--seed-designs '\\''my seeds.csv'\\'''"
}
