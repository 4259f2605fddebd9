#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt search and point: the front, its bytes, and what reproduces it.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  study good.lua
}

children() { cat /proc/"$1"/task/"$1"/children; }

search() { "$BRIMVOLT" search good.lua --quiet --evaluations 1500 "$@"; }

@test "the front goes to stdout, or to a file with its sidecar" {
  search >out.csv
  search --output front.csv
  cmp out.csv front.csv
  [ "$(head -n 1 front.csv)" = row,a,b,kind,f,g ]
  [ "$(wc -l <front.csv)" -gt 20 ]
  run ! grep -q $'\r' front.csv
  grep -q '"title":[[:space:]]*"Two curves"' front.schema.json
}

@test "the same bytes for any number of jobs, others for another seed" {
  search --jobs 1 --output one.csv
  search --jobs 2 --output two.csv
  search --jobs 5 --output five.csv
  cmp one.csv two.csv
  cmp one.csv five.csv
  cmp one.schema.json <(sed 's/two\.csv/one.csv/g' two.schema.json)
  search --seed 2 --output other.csv
  run ! cmp -s one.csv other.csv
}

@test "no row dominates another, and rows rise in the first objective" {
  search --output front.csv
  awk -F, 'NR > 2 && ($5 <= f || $6 >= g) { bad++ } { f = $5; g = $6 }
    END { exit (NR < 20 || bad) }' front.csv
}

@test "every row passes point with the same numbers" {
  search --output front.csv --rows 12
  [ "$(wc -l <front.csv)" -eq 13 ]
  for row in $(seq 12); do
    run --separate-stderr "$BRIMVOLT" point good.lua --front front.csv --row $row
    [ "$status" -eq 0 ]
    [ "$stderr" = "row $row of front.csv: all 5 values agree to the last bit" ]
  done
  refused 64 "no row '13' among 12 rows, 1 to 12" point good.lua --front front.csv --row 13
}

@test "a row that was changed is told" {
  search --output front.csv --rows 3
  sed -i '2s/,[^,]*$/,0.25/' front.csv
  run --separate-stderr "$BRIMVOLT" point good.lua --front front.csv --row 1
  [ "$status" -eq 65 ]
  [[ $stderr == *'g: the file has 0.25, the script gives '* ]]
}

@test "point shows name, value and unit, variables in the middle by default" {
  run --separate-stderr "$BRIMVOLT" point good.lua a=0.25 'kind=odd one' --format csv
  [ "$status" -eq 0 ]
  [ "${lines[0]}" = name,value,unit ]
  [ "${lines[1]}" = a,0.25, ]
  [ "${lines[2]}" = b,0.5, ]
  [ "${lines[3]}" = 'kind,odd one,' ]
  [ "${lines[4]}" = f,0.5, ]
  [ "${lines[5]}" = g,1.0625, ]
  run --separate-stderr "$BRIMVOLT" point "$ROOT/scripts/01-harbour-beacon.lua" core=ETD34/17/11
  [[ $output =~ $'\n'charge_time\ +[0-9.]+\ s\ +time\ to\ the\ target\ voltage\ at\ the\ nominal\ supply$'\n' ]]
  run --separate-stderr "$BRIMVOLT" point good.lua
  [[ ${lines[1]} =~ ^b\ +0.5$ ]]
}

@test "a limit that a point breaks is told" {
  LIMIT=0.1 study tight.lua
  run --separate-stderr "$BRIMVOLT" point tight.lua
  [ "$status" -eq 0 ]
  [[ $stderr == *'limit not met: f 0.75, allowed at most 0.1'* ]]
}

@test "the time budget ends a search" {
  study slow.lua '    for i = 1, 2e5 do end'
  run --separate-stderr "$BRIMVOLT" search slow.lua --time 0.5 --evaluations 100000000 --output front.csv
  [ "$status" -eq 0 ]
  [[ $stderr == *'ended by: seconds'* ]]
  [ -s front.csv ]
}

# interrupted SIGNAL CODE: the first signal ends the search with its front.
interrupted() {
  study slow.lua '    for i = 1, 2e5 do end'
  "$BRIMVOLT" search slow.lua --evaluations 100000000 --output front.csv 2>err &
  local pid=$!
  sleep 1
  kill -"$1" $pid
  local code=0
  wait $pid || code=$?
  cat err
  [ $code -eq "$2" ]
  [ "$(wc -l <front.csv)" -gt 1 ]
  grep -q 'results saved' err
  rm front.csv
}

@test "a signal ends a search with its front written" {
  interrupted INT 130
  interrupted TERM 143
  interrupted USR1 143
  interrupted HUP 143
}

@test "a second signal ends at once and touches nothing" {
  study hang.lua '    if x.a > 0.9 and x.b > 0.9 then string.find(string.rep("a", 3000), ".-.-.-.-.-b") end'
  printf 'old\n' >front.csv
  "$BRIMVOLT" search hang.lua --point-time 60 --evaluations 1000000 --output front.csv 2>err &
  local pid=$!
  sleep 1
  kill -INT $pid
  sleep 0.3
  kill -INT $pid
  local code=0
  wait $pid || code=$?
  [ $code -eq 130 ]
  [ "$(cat front.csv)" = old ]
}

@test "no worker outlives the program" {
  study slow.lua '    for i = 1, 2e5 do end'
  "$BRIMVOLT" search slow.lua --jobs 3 --evaluations 100000000 --output front.csv 2>/dev/null &
  local pid=$!
  sleep 0.5
  local workers
  workers=$(children $pid)
  [ "$(wc -w <<<"$workers")" -eq 3 ]
  kill -KILL $pid
  wait $pid 2>/dev/null || true
  sleep 0.5
  for worker in $workers; do
    # dead, or dead and not yet waited for
    [ ! -e /proc/"$worker" ] || grep -q '^State:.Z' /proc/"$worker"/status
  done
}

@test "a killed worker is replaced and the search goes on" {
  study slow.lua '    for i = 1, 2e5 do end'
  "$BRIMVOLT" search slow.lua --jobs 2 --evaluations 4000 --output front.csv 2>err &
  local pid=$!
  sleep 0.4
  kill -KILL "$(children $pid | cut -d ' ' -f 1)"
  wait $pid
  [ -s front.csv ]
}

@test "on_best tells values as the script gave them, whatever is maximised" {
  study hooks.lua 'do return { f = x.a, gain = 10 + x.b } end'
  sed -i -e 's/minimise = { "f", "g" },/minimise = { "f" }, maximise = { "gain" }, on_best = function(name, x, value) print("best", name, value >= 10, value == 10 + x.b) end,/' \
    -e '/return { f = x.a + /d' hooks.lua
  "$BRIMVOLT" search hooks.lua --evaluations 3000 --output hooks.csv 2>err
  grep -q $'^best\tgain\ttrue\ttrue$' err
  [ -z "$(grep $'^best\tgain\t' err | grep false)" ]
}

@test "hooks see a short search, and the end of any" {
  local last
  study short.lua
  sed -i '/^  minimise/i on_round = function(p) print("round", p.evaluations) end, on_best = function(name, x, value) print("best", name, value) end,' short.lua
  for last in 100 3000; do
    "$BRIMVOLT" search short.lua --evaluations $last --output short.csv 2>err
    [ "$(grep '^round' err | tail -n 1)" = $'round\t'$last ]
    [ "$(grep -c $'^round\t'$last'$' err)" -eq 1 ]
    "$BRIMVOLT" table short.csv --sort f --columns f --format csv >best.csv
    awk -v told="$(grep $'^best\tf' err | tail -n 1 | cut -f 3)" 'NR == 2 { exit !(told - $1 < 1e-9 && $1 - told < 1e-9) }' best.csv
  done
  sed -i 's/^on_round.*/on_round = function() error("boom") end,/' short.lua
  run --separate-stderr "$BRIMVOLT" search short.lua --evaluations 100 --output short.csv
  [[ $stderr == *'a hook of the script failed: '*'boom'* ]]
  sed -i 's/^on_round.*/on_round = function() print("asked") return false end,/' short.lua
  "$BRIMVOLT" search short.lua --evaluations 30000 --output short.csv 2>err
  [ "$(grep -c '^asked$' err)" -eq 1 ]
}

# The exact hypervolume of these thousands of points takes minutes.
@test "a search of six objectives ends with its budget" {
  cat >six.lua <<'END'
local space = require "brimvolt.space"
local variables = {}
for i = 1, 6 do variables["x" .. i] = space.real(0, 1) end
return {
  variables = variables,
  evaluate = function(x)
    return { f1 = x.x1, f2 = x.x2, f3 = x.x3, f4 = x.x4, f5 = x.x5,
             f6 = 5 - x.x1 - x.x2 - x.x3 - x.x4 - x.x5 + x.x6 }
  end,
  minimise = { "f1", "f2", "f3", "f4", "f5", "f6" },
}
END
  timeout 15 "$BRIMVOLT" search six.lua --evaluations 6000 --output six.csv
  [ "$(wc -l <six.csv)" -gt 2000 ]
  grep -q '"hypervolume_is_estimate":.*true' six.schema.json
}

@test "point judges as the search does: functions too, with its tolerance" {
  LIMIT='function(r) return 0.1 + 0 * r.g end' study bound.lua
  run --separate-stderr "$BRIMVOLT" point bound.lua
  [[ $stderr == *'limit not met: f 0.75, allowed at most 0.1'* ]]
  LIMIT=0.75 study edge.lua
  run --separate-stderr "$BRIMVOLT" point edge.lua b=0.500000001
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
}

@test "a row is found by its number however it is written" {
  search --output front.csv --rows 3
  "$BRIMVOLT" point good.lua --front front.csv --row 1.0 >/dev/null
}

@test "a file over its limit is an error that is told" {
  bash -c 'ulimit -f 8; "$BRIMVOLT" search good.lua --evaluations 3000 --quiet --output large.csv' 2>err || code=$?
  [ "$code" -eq 74 ]
  grep -q 'File too large' err
  [ ! -e large.csv ]
}

@test "the first signal is answered; a hook that hangs doesn't hold it" {
  study hook.lua
  sed -i '/^  minimise/i on_round = function() print("in"); ("a"):rep(30000):find((".-"):rep(20) .. "b") end,' hook.lua
  "$BRIMVOLT" search hook.lua --evaluations 1000000 --output hook.csv 2>err &
  local pid=$! code=0 most=$((SECONDS + 10))
  until grep -q '^in$' err || [ $SECONDS -ge $most ]; do sleep 0.05; done
  kill -INT $pid
  ( sleep 12; kill -KILL $pid 2>/dev/null ) &
  wait $pid || code=$?
  kill %2 2>/dev/null || true
  cat err
  [ $code -eq 130 ]
  grep -q '^ending in order; once more ends at once$' err
  grep -q '^a hook of the script failed: it took too long$' err
  "$BRIMVOLT" point hook.lua --front hook.csv --row 1 >/dev/null
}

@test "a hook that hangs or dies is called no more, the search goes on" {
  study hook.lua
  sed -i '/^  minimise/i on_best = function() ("a"):rep(30000):find((".-"):rep(20) .. "b") end,' hook.lua
  run --separate-stderr "$BRIMVOLT" search hook.lua --evaluations 3000 --point-time 0.3 --output hook.csv
  [ "$status" -eq 0 ]
  [ "$(grep -c '^a hook of the script failed: it took too long$' <<<"$stderr")" -eq 1 ]
  study plain.lua
  "$BRIMVOLT" search plain.lua --evaluations 3000 --quiet --output plain.csv
  cmp plain.csv hook.csv
  sed -i 's/on_best = .*/on_round = function(p) seen = (seen or 0) + 1 if p.round ~= seen then error("lost") end return seen < 3 end,/' hook.lua
  run --separate-stderr "$BRIMVOLT" search hook.lua --evaluations 30000 --output hook.csv
  [ "$status" -eq 0 ]
  [[ $stderr == *'ended by: asked'* && $stderr != *'hook of the script'* ]]
}

@test "while there is nothing to save a signal ends the program" {
  study hang.lua '    string.rep("a", 3000):find((".-"):rep(8) .. "b")'
  "$BRIMVOLT" search hang.lua --point-time 20 --jobs 1 --output hang.csv 2>err &
  local pid=$! code=0
  sleep 0.5
  kill -INT $pid
  ( sleep 3; kill -KILL $pid 2>/dev/null ) &
  wait $pid || code=$?
  [ $code -eq 130 ]
}

@test "--time counts from the start, whatever the first points take" {
  study slow.lua '    for _ = 1, 3e6 do end'
  run --separate-stderr "$BRIMVOLT" search slow.lua --time 0.01 --jobs 1 --output slow.csv
  [ "$status" -eq 1 ]
  [[ $stderr == '0 evaluations in '*'ended by: seconds'* ]]
}
