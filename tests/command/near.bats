#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Designs near a front: what a small change of one limit would admit.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  cat >near.lua <<'END'
local space = require "brimvolt.space"
return {
  title = "Two curves and two limits",
  results = { f = { unit = "V" } },
  variables = { a = space.real(0, 1), b = space.real(0, 1) },
  evaluate = function(x)
    return { f = x.a + x.b ^ 2, g = -(1 - x.a) ^ 2 - x.b, h = x.a,
             k = (x.a - 0.4) ^ 2 + (x.b - 0.2) ^ 2 }
  end,
  minimise = { "f", "k" }, maximise = { "g" },
  limits = { f = { max = 0.5 }, h = { min = 0.2 } },
}
END
}

search() { "$BRIMVOLT" search near.lua --quiet --evaluations 3000 "$@"; }

@test "each misses one limit by at most 5 % and gains what the file says" {
  search --output front.csv
  [ "$(head -n 1 front.near.csv)" = "row,near_limit,near_allowed,near_needed,near_excess_%,near_gain_%,near_gain_f_%,near_gain_k_%,near_gain_g_%,a,b,f_V,k,g,h" ]
  python3 - <<'END'
import csv
aims = lambda r: (float(r["f_V"]), -float(r["g"]), float(r["k"]))
front = [aims(r) for r in csv.DictReader(open("front.csv"))]
near = list(csv.DictReader(open("front.near.csv")))
extent = [max(p[j] for p in front) - min(p[j] for p in front) for j in range(3)]
assert 4 <= len(near) <= 12, len(near)
assert {r["near_limit"] for r in near} == {"f", "h"}
last, compared = ("", 0), 0
for row, r in enumerate(near, 1):
    mine, h = aims(r), float(r["h"])
    missed = {"f": mine[0] / 0.5 - 1, "h": 1 - h / 0.2}
    name, excess = r["near_limit"], float(r["near_excess_%"])
    assert int(r["row"]) == row
    assert abs(excess - 100 * missed.pop(name)) < 1e-9 and 0 < excess <= 5
    assert max(missed.values()) <= 1e-8
    bound = r["near_needed"].split()
    if name == "f":
        assert r["near_allowed"] == "at most 0.5 V" and bound[:2] == ["at", "most"]
        assert mine[0] <= float(bound[2]) <= mine[0] * 1.001 and bound[3] == "V"
    else:
        assert r["near_allowed"] == "at least 0.2" and bound[:2] == ["at", "least"]
        assert h * 0.999 <= float(bound[2]) <= h
    gain = min(max((p[j] - mine[j]) / extent[j] for j in range(3)) for p in front)
    assert abs(float(r["near_gain_%"]) - 100 * gain) < 1e-9 and gain >= 0.005
    for j, cell in enumerate(("near_gain_f_%", "near_gain_g_%", "near_gain_k_%")):
        best = min((p[j] for p in front
                    if all(p[i] <= mine[i] for i in range(3) if i != j)), default=None)
        if best is None:
            assert r[cell] == ""
        else:
            assert abs(float(r[cell]) - 100 * (best - mine[j]) / abs(best)) < 1e-9
            assert best > mine[j]
            compared += 1
    assert (name, excess) > last
    last = (name, excess)
assert compared > len(near)
for r in near:
    for s in near:
        if r is not s and r["near_limit"] == s["near_limit"]:
            assert (float(r["near_gain_%"]) > float(s["near_gain_%"]) or
                    float(r["near_excess_%"]) < float(s["near_excess_%"]))
END
}

@test "the same bytes for any number of jobs; measured by the whole front" {
  search --jobs 1 --output one.csv
  search --jobs 2 --output two.csv
  search --jobs 5 --output five.csv --rows 7
  cmp one.near.csv two.near.csv
  cmp one.near.csv five.near.csv
  cmp <(sed 's/one\.near/x/' one.near.schema.json) <(sed 's/two\.near/x/' two.near.schema.json)
}

@test "table --near shows them, and so does the file itself" {
  search --output front.csv
  run --separate-stderr "$BRIMVOLT" table front.csv --near
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
  [[ $output == *'at most 500 mV'*'at least 0.2'* ]]
  [[ $output != *knee* ]]
  diff <(echo "$output") <("$BRIMVOLT" table front.near.csv)
  "$BRIMVOLT" table front.csv --near --keep 'near_limit == "h"' --format csv \
    --columns row,near_limit,near_excess >h.csv
  [ "$(wc -l <h.csv)" -gt 2 ]
  run ! grep -q ',f,' h.csv
  run --separate-stderr "$BRIMVOLT" point near.lua --front front.near.csv --row 1
  [ "$status" -eq 0 ]
  [[ $stderr == *'limit not met: f '*'agree to the last bit'* ]]
}

@test "how many are kept; none leaves no file of an earlier front" {
  search --output front.csv --near 3
  [ "$(wc -l <front.near.csv)" -eq 4 ]
  search --output front.csv --near 0
  [ -s front.csv ]
  [ ! -e front.near.csv ]
  [ ! -e front.near.schema.json ]
  refused 66 'front.csv: no designs near it are kept' table front.csv --near
  search --output front.csv
  "$BRIMVOLT" merge front.csv --output front.csv
  [ ! -e front.near.csv ]
}

@test "those of another search are refused, and a front from a pipe" {
  search --output front.csv
  search --output other.csv --seed 2
  cp other.near.csv front.near.csv
  cp other.near.schema.json front.near.schema.json
  refused 65 'front.near.csv: expected designs near front.csv' table front.csv --near
  run --separate-stderr "$BRIMVOLT" table - --near <front.csv
  [ "$status" -eq 64 ]
  [[ $stderr == *'expected the file of a front'* ]]
}

@test "an unwritable file leaves the old four as they were" {
  search --output front.csv
  mkdir kept && cp front.* kept
  mkdir locked && cp front.* locked
  rm -f locked/front.near.csv && mkdir locked/front.near.csv
  run search --output locked/front.csv --seed 2
  [ "$status" -eq 73 ]
  cmp kept/front.csv locked/front.csv
  cmp kept/front.schema.json locked/front.schema.json
}

@test "a case may not be called as a file of near designs" {
  sed -i 's/^}/  cases = { { name = "one.near" } } }/' near.lua
  refused 65 'end in ".near"' sweep near.lua --output out
}

@test "a file of that name that no search wrote stays" {
  study own.lua
  printf 'mine\n1\n' >own.near.csv
  cp own.near.csv kept.csv
  "$BRIMVOLT" search own.lua --evaluations 400 --near 0 --quiet --output own.csv
  cmp own.near.csv kept.csv
}

@test "the command that lists them works as it is told" {
  local command
  "$BRIMVOLT" search near.lua --evaluations 3000 --output "the \$front.csv" 2>err
  command=$(sed -n 's/.*would admit: brimvolt //p' err)
  [ -n "$command" ]
  bash -c "\"\$BRIMVOLT\" $command" >listed
  grep -q near_ listed
  "$BRIMVOLT" search near.lua --evaluations 500 --rows 1 --output one.csv 2>err
  grep -q '^1 design on the front' err
}
