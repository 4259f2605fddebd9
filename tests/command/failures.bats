#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Failed points: grouped by message, each with a command that repeats the first.

bats_require_minimum_version 1.5.0
load common
load sweep

setup() {
  cd "$BATS_TEST_TMPDIR"
  cat >some.lua <<'LUA'
local space = require "brimvolt.space"
local function check(a)
  if a > 0.8 then error("too far: " .. a) end
end
return {
  variables = { a = space.real(0, 1), b = space.real(0, 1),
                kind = space.choice { "plain", "odd one" } },
  evaluate = function(x, case)
    local shift = case and case.shift or 0
    check(x.a + shift)
    if x.b > 0.9 then local part; return part.size end
    if x.b < 0.05 then return { reason = "too low" } end
    if arg[1] and x.a < 0.1 then error(arg[1]) end
    return { f = x.a, g = 1 - x.a + x.b + 1e-3 * math.random() }
  end,
  minimise = { "f", "g" },
}
LUA
}

# counts: of each group in the output
counts() { sed -n 's/^ *\([0-9]\{1,\}\)  \([^ ].*\)$/\1 \2/p' <<<"$1"; }

# repeats TEXT: every command shown in the text gives its message again
repeats() {
  local shown=0 message line
  while IFS= read -r line; do
    if [[ $line =~ ^\ +[0-9]+\ \ (.*)$ ]]; then
      message=${BASH_REMATCH[1]}
    elif [[ $line =~ ^\ +brimvolt\ (.*)$ ]]; then
      run --separate-stderr bash -c "'$BRIMVOLT' ${BASH_REMATCH[1]}"
      [ "$status" -ne 0 ] || return 1
      [[ $stderr == *"brimvolt: $message"* ]] || { echo "$line gave $stderr, not $message"; return 1; }
      shown=$((shown + 1))
    fi
  done <<<"$1"
  [ $shown -eq "$2" ]
}

@test "search groups by message whatever the numbers in it, and each repeats" {
  run --separate-stderr "$BRIMVOLT" search some.lua --evaluations 1500 --output f.csv
  [ "$status" -eq 0 ]
  local told=$stderr
  echo "$told"
  [ "$(counts "$told" | wc -l)" -eq 3 ]
  [[ $told =~ ([0-9]+)\ points\ failed:\ the\ evaluation\ raised\ an\ error ]]
  local errors=${BASH_REMATCH[1]}
  [ "$(counts "$told" | awk '/too far|attempt/ { sum += $1 } END { print sum }')" -eq "$errors" ]
  # those that failed most come first
  counts "$told" | grep -v impossible | sort -rn -c
  repeats "$told" 3
}

@test "check groups them alike" {
  run --separate-stderr "$BRIMVOLT" check some.lua --points 400
  [ "$status" -eq 0 ]
  counts "$output" | grep -qx '80 some.lua:3: too far: .*'
  [ "$(counts "$output" | wc -l)" -eq 3 ]
  repeats "$output" 3
}

@test "the same groups for any number of jobs" {
  "$BRIMVOLT" search some.lua --evaluations 1500 --jobs 1 --output f.csv 2>&1 | tail -n +2 >one
  "$BRIMVOLT" search some.lua --evaluations 1500 --jobs 3 --output f.csv 2>&1 | tail -n +2 >three
  [ "$(wc -l <one)" -gt 8 ]
  cmp one three
}

@test "the same report from a sweep that was killed and went on" {
  sed -i 's/  minimise/  cases = { { name = "near" } },\n  minimise/
    s/check(x.a + shift)/for _ = 1, 20000 do end\n&/' some.lua
  local options=(some.lua --evaluations 800 --failures 0 --quiet --checkpoint 0)
  "$BRIMVOLT" sweep "${options[@]}" --output whole
  "$BRIMVOLT" sweep "${options[@]}" --output out --jobs 1 3>&- &
  soon eval '[ "$(stat -c %s out/slices/0-of-1.diary 2>/dev/null || echo 0)" -gt 3000 ]'
  kill -KILL $!
  wait $! || true
  [ ! -e out/index.csv ]
  "$BRIMVOLT" sweep "${options[@]}" --output out
  diff -r whole/cases out/cases
  [ "$(counts "$(cat out/cases/near.report)" | wc -l)" -eq 3 ]
}

@test "the command names case, seed and arguments" {
  sed -i 's/  minimise/  cases = { { name = "near" }, { name = "far off", shift = 0.2 } },\n  minimise/' some.lua
  run --separate-stderr "$BRIMVOLT" search some.lua --case 'far off' --seed 7 \
    --evaluations 800 --output f.csv -- 'too near, too'
  [ "$status" -eq 0 ]
  [[ $stderr == *"point some.lua --case 'far off' --seed 7 a="*" -- 'too near, too'"* ]]
  [ "$(counts "$stderr" | wc -l)" -eq 4 ]
  repeats "$stderr" 4
  "$BRIMVOLT" sweep some.lua --output out --evaluations 400 --failures 0 --quiet
  cat 'out/cases/far off.report'
  [ "$(counts "$(cat 'out/cases/far off.report')" | wc -l)" -eq 3 ]
  repeats "$(cat 'out/cases/far off.report')" 3
}

@test "a row is evaluated again in its own case, with its own seed" {
  sed -i 's/  minimise/  cases = { { name = "near" }, { name = "far off", shift = 0.5 } },\n  minimise/' some.lua
  "$BRIMVOLT" sweep some.lua --output out --evaluations 400 --seed 5 --failures 0 --quiet
  for front in 'out/cases/far off.csv' out/front.csv; do
    run --separate-stderr "$BRIMVOLT" point some.lua --front "$front" --row 2
    [ "$status" -eq 0 ]
    [[ $stderr == *'row 2 of '*': all 5 values agree to the last bit'* ]]
  done
  refused 65 "row 2 of out/front.csv is not what the script gives" point some.lua \
    --front out/front.csv --row 2 --seed 6 --format csv 2>/dev/null || [ "$status" -eq 65 ]
  echo '-- changed' >>some.lua
  sed -i 's/1 - x.a/2 - x.a/' some.lua
  run --separate-stderr "$BRIMVOLT" point some.lua --front out/front.csv --row 2
  [ "$status" -eq 65 ]
  [[ $stderr == *'another than then'* ]]
}

@test "a row that is given otherwise: the first differences, how many, the largest" {
  cat >many.lua <<'END'
local space = require "brimvolt.space"
return {
  variables = { a = space.real(1, 2) },
  evaluate = function(x)
    local r = { f = x.a, g = -x.a }
    for i = 1, 30 do r["r" .. i] = i + x.a * (SHIFT or 0) end
    return r
  end,
  minimise = { "f", "g" },
}
END
  "$BRIMVOLT" search many.lua --evaluations 100 --rows 3 --quiet --output many.csv
  sed -i '1i SHIFT = 0.125' many.lua
  run --separate-stderr "$BRIMVOLT" point many.lua --front many.csv --row 1
  [ "$status" -eq 65 ]
  [ "$(grep -c ': the file has ' <<<"$stderr")" -eq 10 ]
  [[ $stderr == *'… and 20 more'* ]]
  [[ $stderr == *'not what the script gives: 30 of 33 values differ, r1 most, by 11 %;'* ]]
}

@test "cases: the first unless told, the nearest name where there is none" {
  sed -i 's/  minimise/  cases = { { name = "near" }, { name = "far off", shift = 0.5 } },\n  minimise/' some.lua
  run --separate-stderr "$BRIMVOLT" point some.lua a=0.25 b=0.5
  [ "$status" -eq 0 ]
  [[ $stderr == *'case "near", the first of 2; --case NAME chooses'* ]]
  run --separate-stderr "$BRIMVOLT" point some.lua --case 'far off' a=0.5 b=0.5
  [ "$status" -eq 65 ]
  [[ $stderr == *'too far: 1.0'* ]]
  refused 64 'no case "far of" among the 2 of some.lua; did you mean "far off"?' check some.lua --case 'far of'
  sed -i '/cases =/d' some.lua
  refused 64 'no case "near": some.lua has no cases' search some.lua --case near
}

@test "a result that can't be told fails its point; all of them fail the script" {
  study told.lua 'if x.a < 0.5 then return { f = x.a, g = 1 - x.a, extra = { 1, 2 } } end'
  run --separate-stderr "$BRIMVOLT" search told.lua --evaluations 400 --output told.csv
  [ "$status" -eq 0 ]
  [[ $stderr == *'designs of the front are left out: told.lua: evaluate: result "extra": expected a number or a text, found a table'* ]]
  [[ $stderr == *'brimvolt point told.lua a='* ]]
  [ "$(head -n 1 told.csv)" = "row,a,b,kind,f,g" ]
  study never.lua 'x["cost-max"], x.f, x.g = 1, x.a, x.b do return x end'
  refused 65 'names of letters, digits and _ (at most 60), found the text "cost-max"' \
    search never.lua --output never.csv
  [ ! -e never.csv ]
}

@test "results of a point that are too long are an error, not a lost row" {
  study long.lua 'do return { f = x.a, g = 1 - x.a, note = ("x"):rep(300000) } end'
  refused 65 'the results of a point are over 256 KiB' search long.lua --output long.csv
  refused 65 'the results of a point are over 256 KiB' point long.lua
}

@test "two results with one column are told before the search" {
  study twice.lua 'do return { f = x.a, g = 1 - x.a, cost = 1, cost_s = 2 } end'
  sed -i '/minimise = /i results = { cost = { unit = "s" } },' twice.lua
  refused 65 'twice.lua: results "cost" and "cost_s" would both have the column cost_s' \
    search twice.lua --output twice.csv
}

@test "a file name that is no UTF-8 is no reason for an unreadable sidecar" {
  study latin.lua
  mv latin.lua $'caf\xe9.lua'
  "$BRIMVOLT" search $'caf\xe9.lua' --evaluations 400 --quiet --output $'caf\xe9.csv'
  "$BRIMVOLT" table $'caf\xe9.csv' >/dev/null
  grep -q $'"study":.*"caf\xef\xbf\xbd.lua"' $'caf\xe9.schema.json'
}
