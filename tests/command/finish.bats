#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# A signal while the rows of a front are evaluated once more, or the first points
# of a case are.

bats_require_minimum_version 1.5.0
load common

setup() { cd "$BATS_TEST_TMPDIR"; }

# The search's 300 points and the first four take no time, whatever comes after
# them takes long.
slow_finish() {
  cat >late.lua <<'LUA'
local space = require "brimvolt.space"
local calls = 0
return {
  variables = { a = space.real(0, 1), b = space.real(0, 1) },
  evaluate = function(x)
    calls = calls + 1
    if calls > 304 then for _ = 1, 4e8 do end end
    return { cost = x.a + x.b, gain = x.a - x.b, note = "whole", also = x.a }
  end,
  minimise = { "cost" },
  maximise = { "gain" },
  limits = { cost = { max = 1.5 } },
  results = { cost = { unit = "m", meaning = "what it takes" } },
}
LUA
}

# ends PID CODE MOST: the process ends with CODE within MOST seconds
ends() {
  local code=0 begun=$SECONDS
  (sleep "$3" && kill -KILL "$1") 2>/dev/null &
  local guard=$!
  wait "$1" || code=$?
  kill $guard 2>/dev/null || true
  echo "ended with $code after $((SECONDS - begun)) s"
  [ $code -eq "$2" ]
}

@test "a signal in the finish ends it soon, with every row as far as it is told" {
  slow_finish
  "$BRIMVOLT" search late.lua --evaluations 300 --jobs 1 --point-time 100 --output late.csv 2>err &
  local pid=$!
  for _ in {1..100}; do
    grep -q 'designs once more' err && break
    sleep 0.1
  done
  sleep 2
  kill -TERM $pid
  ends $pid 143 40
  cat err
  grep -q 'results saved' err
  [[ $(<err) =~ ([0-9]+)\ of\ ([0-9]+)\ designs\ have\ their\ objectives\ alone ]]
  local alone=${BASH_REMATCH[1]} rows=${BASH_REMATCH[2]}
  [ "$alone" -lt "$rows" ]
  [ "$rows" -gt 40 ]
  grep -q 'designs are unverified' err
  # every row has its objectives, and they are those of its variables
  run --separate-stderr "$BRIMVOLT" table late.csv --format csv
  [ "$status" -eq 0 ]
  head -n 1 late.csv | grep -q '^row,a,b,cost_m,gain,'
  tail -n +2 late.csv | awk -F, -v rows="$rows" -v alone="$alone" '
    { off = $4 - $2 - $3; also = $5 - $2 + $3 }
    off < -1e-9 || off > 1e-9 || also < -1e-9 || also > 1e-9 { bad++ }
    /whole/ { whole++ }
    END { print NR, whole, bad + 0; exit !(NR == rows && whole == rows - alone && !bad) }'
}

@test "without a signal the same finish has all rows whole" {
  slow_finish
  sed -i 's/4e8/1e5/' late.lua
  run --separate-stderr "$BRIMVOLT" search late.lua --evaluations 300 --jobs 1 --output late.csv
  [ "$status" -eq 0 ]
  [[ $stderr != *alone* && $stderr != *unverified* ]]
  [ "$(grep -c whole late.csv)" -eq $(($(wc -l <late.csv) - 1)) ]
}

@test "a signal while a sweep tries a case's first points ends it soon" {
  cat >slow.lua <<'LUA'
local space = require "brimvolt.space"
return {
  variables = { a = space.real(0, 1) },
  evaluate = function(x)
    ("a"):rep(3000):find((".-"):rep(8) .. "b")
    return { f = x.a }
  end,
  minimise = { "f" },
  cases = { { name = "one" }, { name = "two" } },
}
LUA
  "$BRIMVOLT" sweep slow.lua --output out --jobs 1 --point-time 100 2>err &
  local pid=$!
  sleep 1
  kill -INT $pid
  ends $pid 130 40
  cat err
  [ -z "$(ls out/slices/*.lock 2>/dev/null)" ]
  run --separate-stderr "$BRIMVOLT" status out
  [[ $output == *'slice 0/1: stopped, 0 of 2 cases'* ]]
}

@test "a row costs two evaluations: told, and told once more with verification" {
  study loud.lua '    print("called")'
  run --separate-stderr "$BRIMVOLT" search loud.lua --evaluations 200 --jobs 1 --near 0 --output loud.csv
  [ "$status" -eq 0 ]
  rows=$(($(wc -l <loud.csv) - 1))
  [ "$rows" -gt 4 ]
  # four points are tried before the search
  [ "$(grep -c '^called$' <<<"$stderr")" -eq $((4 + 200 + 2 * rows)) ]
}

@test "results that depend on more than the point are told" {
  study counts.lua '    calls = (calls or 0) + 1' '    x.a = x.a + 1e-9 * calls'
  "$BRIMVOLT" search counts.lua --evaluations 400 --jobs 1 --output counts.csv 2>err
  cat err
  [[ $(<err) =~ ([0-9]+)\ of\ ([0-9]+)\ designs\ gave\ other\ objectives\ when\ evaluated\ again ]]
  [ "${BASH_REMATCH[1]}" -gt 0 ]
  grep -q 'brimvolt point counts.lua' err
  study steady.lua ''
  "$BRIMVOLT" search steady.lua --evaluations 400 --output steady.csv 2>err
  run ! grep -q 'other objectives' err
}

@test "a front that can't be written in the end is kept elsewhere" {
  mkdir out spare
  study slow.lua '    for _ = 1, 2e5 do end'
  TMPDIR=$PWD/spare run --separate-stderr bash -c "
    '$BRIMVOLT' search slow.lua --evaluations 1500 --jobs 1 --output out/front.csv &
    sleep 0.5; rm -r out; wait \$!"
  echo "$status: $stderr"
  [ "$status" -eq 73 ]
  [[ $stderr =~ out/front\..*:\ .*\;\ the\ front\ is\ kept\ in\ ($PWD/spare/brimvolt-[A-Za-z0-9]{6}.csv) ]]
  "$BRIMVOLT" search slow.lua --evaluations 1500 --output again.csv
  cmp again.csv "${BASH_REMATCH[1]}"
  "$BRIMVOLT" point slow.lua --front "${BASH_REMATCH[1]}" --row 3
}
