#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt sweep, status and merge: nothing is lost, nothing is mixed up.

bats_require_minimum_version 1.5.0
load common
load sweep

setup() {
  cd "$BATS_TEST_TMPDIR"
  cases
}

# begun DIR: the first case is under way and has a checkpoint.
begun() { [ "$(stat -c %s "$1"/slices/0-of-1.diary 2>/dev/null || echo 0)" -gt 3000 ]; }

# slow DIR OPTION…: the same sweep, slowly and in the background; sets $pid.
slow() {
  cases 20000
  "$BRIMVOLT" sweep cases.lua --evaluations 1200 --jobs 1 --checkpoint 0 \
    --output "$@" 2>err 3>&- &
  pid=$!
}

@test "every case gets a front, and all of them an index and a front" {
  sweep out
  for name in one 'two, or so' three four; do
    [ -s "out/cases/$name.csv" ]
    [ -s "out/cases/$name.near.csv" ]
  done
  [ "$(ls out/cases/*.csv | wc -l)" -eq 8 ]
  [ "$(head -n 1 out/index.csv)" = "case,status,evaluations,feasible,rows,hypervolume,best_f,best_g,failed_error,failed_not_a_number,failed_timeout,failed_memory,failed_crash,reason,seconds" ]
  grep -q '^"two, or so",done,1200,[0-9]*,' out/index.csv
  head -n 1 out/front.csv | grep -q '^row,case,case_row,a,b,f,g$'
  "$BRIMVOLT" table out/front.csv --format csv | head -n 1 | grep -q '^row,case,case_row,f,g,a,b$'
  [ -z "$(ls out/slices/*.diary out/slices/*.lock 2>/dev/null)" ]
}

@test "a front over all cases holds what no row of any case dominates" {
  sweep out
  # f and g of every row of every case, once as they are; awk keeps the best.
  for name in one 'two, or so' three four; do
    tail -n +2 "out/cases/$name.csv"
  done |
    awk -F, '{ print $(NF-1), $NF }' | sort -g -k1,1 -k2,2 -u |
    awk 'NR == 1 || $2 < best { best = $2; print }' >expected
  tail -n +2 out/front.csv | awk -F, '{ print $(NF-1), $NF }' >found
  [ "$(wc -l <found)" -gt 50 ]
  diff expected found
}

# told FILE KEY: a number of a sidecar's origin
told() { sed -n "s/.*\"$2\":[[:space:]]*\([0-9.e+-]*\).*/\1/p" "$1"; }

@test "the sidecar of the front over all cases tells evaluations and hypervolume" {
  sweep out
  [ "$(told out/front.schema.json evaluations)" -eq 4800 ]
  # two objectives: the area up to a tenth of the extent beyond the worst
  tail -n +2 out/front.csv | awk -F, '{ f[NR] = $(NF-1); g[NR] = $NF } END {
    rf = f[NR] + 0.1 * (f[NR] - f[1]); rg = g[1] + 0.1 * (g[1] - g[NR])
    for (i = 1; i <= NR; i++) area += ((i < NR ? f[i + 1] : rf) - f[i]) * (rg - g[i])
    printf "%.12g\n", area }' >expected
  awk -v found="$(told out/front.schema.json hypervolume)" \
    '{ exit !(found > 0.999999999 * $1 && found < 1.000000001 * $1) }' expected
  # of fronts that may have evaluations in common only the volume is known
  "$BRIMVOLT" merge out/front.csv out/cases/one.csv --output again.csv
  [ -z "$(told again.schema.json evaluations)" ]
  [ "$(told again.schema.json hypervolume)" = "$(told out/front.schema.json hypervolume)" ]
}

@test "the same bytes for any number of jobs and slices" {
  sweep one --jobs 1
  sweep two --jobs 2
  same one two
  for slice in 2 0 1; do sweep three --slice $slice/3; done
  "$BRIMVOLT" merge three
  same one three
  refused 64 'expected I/N with I from 0 to N - 1' sweep cases.lua --output x \
    --slice 3/3
}

@test "merge: any order, again, from fronts; other studies are refused" {
  sweep out
  cd out/cases
  "$BRIMVOLT" merge four.csv one.csv three.csv "two, or so.csv" --output ../a.csv
  cmp ../a.csv ../front.csv
  "$BRIMVOLT" merge "two, or so.csv" ../a.csv three.csv ../front.csv one.csv \
    four.csv one.csv --output ../b.csv
  cmp ../a.csv ../b.csv
  cd ../..
  sed -i 's/p = 4/p = 5/' cases.lua
  sweep other
  refused 65 "doesn't belong to the others: study" merge out other --output c.csv
  refused 65 'one.near.csv: expected a front, found designs near one' \
    merge out/cases/one.csv out/cases/one.near.csv --output c.csv
  refused 65 'expected a sidecar' merge out/index.csv --output c.csv
  refused 66 'found no manifest' merge "$BATS_TEST_TMPDIR" --output c.csv
  refused 64 'expected --output' merge out/front.csv
  [ ! -e c.csv ]
}

@test "a signal ends the round, saves all and says so; the next run goes on" {
  cases 20000
  sweep whole
  for signal in INT TERM USR1 HUP; do
    rm -rf out
    slow out
    soon begun out
    kill -$signal $pid
    code=0
    wait $pid || code=$?
    case $signal in
    INT) [ $code -eq 130 ] ;;
    *) [ $code -eq 143 ] ;;
    esac
    grep -q 'results saved; 0 of 4 cases are done' err
    grep -q '^one,interrupted,' out/index.csv
    [ -s out/cases/one.csv ]
  done
  [ "$("$BRIMVOLT" status out --missing)" = 0 ]
  sweep out
  same whole out
}

@test "a second signal ends at once and leaves the journal whole" {
  cases 20000
  sweep whole
  slow out
  soon begun out
  kill -STOP $pid
  kill -INT $pid
  kill -TERM $pid
  kill -CONT $pid
  code=0
  wait $pid || code=$?
  [ $code -ne 0 ]
  sweep out
  same whole out
}

@test "status tells the case under way by its name and how far it is" {
  cases 20000
  sed -i 's/name = "one"/name = "600 V"/' cases.lua
  "$BRIMVOLT" sweep cases.lua --evaluations 100000 --jobs 1 --checkpoint 0.3 \
    --output out 2>err 3>&- &
  pid=$!
  soon grep -q progress out/slices/0-of-1.diary
  "$BRIMVOLT" status out >text
  kill -9 $pid
  wait $pid || true
  cat text
  grep -qE '^  600 V: 0 of 4 cases, [1-9][0-9]* evaluations, [0-9]+/s, feasible [0-9]+ %, hypervolume [0-9.]+, .* left, checkpoint 0 s ago$' text
}

@test "the end of a sweep tells where everything is" {
  # a stretch of the front over all cases for each
  sed -i 's/case.p + x.b ^ 2/1 + x.b ^ 2 + case.p/; s/ + x.b }/ + x.b - 9 * case.p }/; s/0.9/9/' cases.lua
  run --separate-stderr "$BRIMVOLT" sweep cases.lua --evaluations 300 --output out
  [ "$status" -eq 0 ]
  [ "$stderr" = '4 of 4 cases are over: out/index.csv, out/front.csv' ]
  run --separate-stderr "$BRIMVOLT" sweep cases.lua --evaluations 300 --output two --slice 1/2
  [ "$stderr" = "slice 1/2: 2 of 2 cases are over; 'brimvolt merge two' makes index and front of all slices" ]
  # a case that asks for more is nowhere on the front over all cases
  sed 's/case.p }/case.p + (case.p > 2 and 99 or 0) }/' cases.lua >far.lua
  run --separate-stderr "$BRIMVOLT" sweep far.lua --evaluations 300 --output far
  [ "${stderr_lines[0]}" = '4 of 4 cases are over: far/index.csv, far/front.csv' ]
  [ "${stderr_lines[1]}" = 'front.csv has rows of 2 of 4 cases; those of the others are dominated or absent: each has its front in cases/' ]
  [ "${#stderr_lines[@]}" -eq 2 ]
}

@test "one process a slice: a second exits with 75; status tells who it is" {
  slow out
  soon begun out
  refused 75 "process $pid on" sweep cases.lua --evaluations 1200 --output out
  "$BRIMVOLT" status out >text
  grep -q "slice 0/1: running, 0 of 4 cases, process $pid on" text
  grep -q '  one: .*checkpoint [0-9]* s ago' text
  [ -z "$("$BRIMVOLT" status out --missing)" ]
  kill -9 $pid
  wait $pid || true
  [ "$("$BRIMVOLT" status out --missing)" = 0 ]
  "$BRIMVOLT" status out | grep -q 'slice 0/1: stopped'
  sweep out --jobs 1
  "$BRIMVOLT" status out | grep -q 'slice 0/1: done, 4 of 4 cases'
}

@test "another seed, budget, script or argument is refused with what differs" {
  sweep out
  cp out/front.csv before.csv
  refused 65 "seed: '1' there, '2' now; --restart" \
    sweep cases.lua --output out --evaluations 1200 --seed 2
  refused 65 "evaluations: '1200' there, '1300' now" \
    sweep cases.lua --output out --evaluations 1300
  refused 65 "slices: '1' there, '2' now" \
    sweep cases.lua --output out --evaluations 1200 --slice 0/2
  refused 65 "argument" sweep cases.lua --output out --evaluations 1200 -- more
  sed -i 's/p = 4/p = 5/' cases.lua
  refused 65 " (the script or a file it reads was changed); --restart" \
    sweep cases.lua --output out --evaluations 1200
  cmp before.csv out/front.csv
  sweep out --restart
  sweep fresh
  same fresh out
}

@test "--restart and strays: only files that the sweep made are thrown away" {
  sweep out
  mkdir kept
  echo mine | tee kept/night.csv kept/notes.report kept/front.csv.backup >out/a.lock
  cp out/a.lock kept/manifest.backup
  mv out/a.lock kept
  echo mine | tee kept/five.csv kept/one.csv.backup kept/0-of-1.entries.old \
    kept/x-of-1.lock >/dev/null
  cp kept/* out
  cp kept/* out/cases
  cp kept/* out/slices
  echo half | tee out/front.csv.a1B2c3.part out/cases/one.csv.a1B2c3.part >/dev/null
  # Another sweep, of another study, with fewer and other cases.
  sed -i 's/name = "one"/name = "uno"/' cases.lua
  echo half >out/cases/uno.report.a1B2c3.part
  sweep out --restart
  sweep fresh
  for part in . cases slices; do
    for file in kept/*; do
      cmp "$file" "out/$part/${file#kept/}"
      rm "out/$part/${file#kept/}"
    done
  done
  same fresh out
  [ "$(cd out && find . | sort)" = "$(cd fresh && find . | sort)" ]
}

@test "nothing is thrown away where the manifest is damaged" {
  sweep out
  sed -i '3s/study/stuby/' out/manifest
  cp -r out before
  refused 65 'out/manifest:3: this line of the journal is damaged; nothing tells which files are the sweep' \
    sweep cases.lua --output out --evaluations 1200 --restart
  diff -r before out
}

@test "a damaged journal is refused by file and line; --restart begins anew" {
  sweep whole
  cp -r whole out
  sed -i '3s/done/lost/' out/slices/0-of-1.entries
  refused 65 'out/slices/0-of-1.entries:3: this line of the journal is damaged; --restart' \
    sweep cases.lua --output out --evaluations 1200
  "$BRIMVOLT" status out | grep -q 'slice 0/1: damaged'
  [ "$("$BRIMVOLT" status out --missing)" = 0 ]
  refused 65 'damaged' merge out
  sweep out --restart
  same whole out
}

@test "a torn entry is searched again" {
  sweep whole
  cp -r whole out
  truncate -s -5 out/slices/0-of-1.entries
  rm out/cases/four.csv
  sweep out
  same whole out
}

@test "a row without an objective can't be merged, and that is told" {
  sweep out
  cp out/cases/one.csv bad.csv
  cp out/cases/one.schema.json bad.schema.json
  sed -i '3s/,[^,]*$/,/' bad.csv
  run --separate-stderr "$BRIMVOLT" merge out/cases/four.csv bad.csv --output all.csv
  [ "$status" -eq 65 ]
  [ ! -e all.csv ]
  [[ $stderr == *'bad.csv: row 2: expected a finite number for g, found none'* ]]
}

@test "a case that fails is noted with its reason, and the sweep goes on" {
  sed -i 's/for _ = 1, 1 do end/if case.p == 2 then error("no such core") end\n    if case.p == 3 and x.a * 1e4 % 1 > 0.5 then error("too thick") end/' cases.lua
  run --separate-stderr sweep out --failures 50
  [ "$status" -eq 0 ]
  grep -q '^"two, or so",failed,0,.*no such core' out/index.csv
  grep -q '^three,failed,.*too many points failed' out/index.csv
  grep -q '^one,done,1200,' out/index.csv
  grep -q '^four,done,1200,' out/index.csv
  grep -q 'points failed: .*error' out/cases/three.report
  grep -q 'too thick' out/cases/three.report
  "$BRIMVOLT" status out | grep -q '4 of 4 cases, 2 done, 2 failed'
}

@test "a long reason of any letters leaves an index that reads back" {
  sed -i 's/for _ = 1, 1 do end/error(("x"):rep(case.p) .. ("µ"):rep(900) .. "\\xff")/' cases.lua
  run --separate-stderr sweep out
  [ "$status" -eq 1 ]
  iconv -f UTF-8 -t UTF-8 out/index.csv
  "$BRIMVOLT" table out/index.csv --format csv --columns case,reason | grep -c 'µµ$'
  sed -i 's/("µ"):rep(900)/"\\xff\\27 bad"/' cases.lua
  run --separate-stderr sweep other
  "$BRIMVOLT" table other/index.csv --format csv --columns case,reason | grep -F 'x?? bad?'
}

@test "a hung point is cut and counted, the case goes on" {
  sed -i 's/for _ = 1, 1 do end/if x.a < 0.02 then string.rep("a", 30):find(("a*"):rep(30) .. "b") end/' cases.lua
  sed -i 's/cases = .*/cases = { { name = "one", p = 1 } } }/; /name = "three"/,$d' cases.lua
  "$BRIMVOLT" sweep cases.lua --output out --evaluations 100 --point-time 0.3 --quiet
  grep -q '^one,done,' out/index.csv
  awk -F, 'NR == 2 { exit !($11 >= 1) }' out/index.csv
}

@test "no feasible design is exit 1, and told in a report" {
  sweep out
  sed -i 's/max = 0.9/max = -1/' cases.lua
  run sweep out --restart
  [ "$status" -eq 1 ]
  grep -q '^one,no_design,1200,0,0,' out/index.csv
  grep -q 'limits that bind' out/cases/one.report
  [ ! -e out/front.csv ]
  [ -z "$(ls out/cases/*.csv out/cases/*.json 2>/dev/null)" ]
}

@test "progress is a line, and --quiet none; a study needs cases" {
  "$BRIMVOLT" sweep cases.lua --output out --evaluations 1200 --quiet 2>err
  [ ! -s err ]
  study plain.lua
  refused 65 'cases: expected a list' sweep plain.lua --output x
  refused 64 'expected --output DIR' sweep cases.lua
}

@test "a clock set back changes nothing" {
  sweep whole
  slow out --seed 1
  soon begun out
  kill -9 $pid
  wait $pid || true
  touch -d '+3 hours' out/slices/* out/manifest
  "$BRIMVOLT" status out | grep -q 'checkpoint 0 s ago'
  sweep out
  cases 20000
  sweep whole --restart
  same whole out
}

@test "cases from a product of lists: names, fields, order, slips" {
  product() {
    sed -e '1i local cases = require "brimvolt.cases"' \
      -e "/cases = {/,\$d" cases.lua >product.lua
    echo "  cases = cases.product($1) }" >>product.lua
  }
  product '{ "p", 1, 2.5 }, { "core", "E", "RM 8" }'
  "$BRIMVOLT" sweep product.lua --output out --evaluations 200 --quiet
  [ "$(tail -n +2 out/index.csv | cut -d '"' -f 2 | tr '\n' ';')" = \
    "p 1, core E;p 1, core RM 8;p 2.5, core E;p 2.5, core RM 8;" ]
  grep -q '^"p 2.5, core E",done' out/index.csv
  product '{ "p" }'
  refused 65 'cases.product: axis 1: expected { name, value, … }' \
    sweep product.lua --output x
  product '{ "p", 1, {} }'
  refused 65 'cases.product: p: expected numbers or texts, found a table' \
    sweep product.lua --output x
  product '{ "p", 1, 0 / 0 }'
  refused 65 'cases.product: p: expected finite numbers, found' sweep product.lua --output x
  product '{ "name", "a" }'
  refused 65 'axis 1: expected another name than that of the case' sweep product.lua --output x
  product '{ "p", 1 }, { "p", 2 }'
  refused 65 'axis 2: expected a name of its own, found "p" twice' sweep product.lua --output x
  product '{ "p", 1 }, nil, { "q", 2 }'
  refused 65 'axis 2: expected { name, value, … }, found a nil' sweep product.lua --output x
  product ''
  refused 65 'cases.product: expected lists { name, value, … }, found nothing' \
    sweep product.lua --output x
  product '{ "p", table.unpack(many) }, { "q", table.unpack(many) }'
  sed -i '1i local many = {} for i = 1, 400 do many[i] = i end' product.lua
  refused 65 'cases.product: expected at most 100000 combinations' sweep product.lua --output x
  [[ $stderr == *'product.lua:'[0-9]*': cases.product'* ]]
}

@test "a sweep that lacks nothing has nothing to submit" {
  sweep out
  run --separate-stderr "$BRIMVOLT" submit cases.lua --output out --slices 1
  [ "$status" -eq 0 ]
  [ -z "$output" ]
  [ "$stderr" = 'no slice is missing: all are done or under way' ]
}
