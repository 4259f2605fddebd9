#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# A sweep on a cluster: a private Slurm runs it as a job array, a task is killed
# and another told to end, what is missing is submitted again, and the bytes are
# those of one machine. And the same under GNU parallel.

bats_require_minimum_version 1.5.0
load slurm

setup() {
  cd "$BATS_TEST_TMPDIR"
  PATH=${BRIMVOLT%/*}:$PATH
  cat >night.lua <<'END'
local space = require "brimvolt.space"
local cases = {}
for i = 1, 9 do
  -- The third and the sixth take long enough to be caught under way.
  local steps = (i == 3 or i == 6) and 30000 or 2000
  cases[i] = { name = "case " .. i, p = i, steps = steps }
end
return {
  title = "Slow curves",
  variables = { a = space.real(0, 1), b = space.real(0, 1) },
  evaluate = function(x, case)
    local sum = 0
    for i = 1, case.steps do sum = sum + i % case.p end
    return { f = x.a * case.p + x.b ^ 2, g = (1 - x.a) ^ 2 + x.b, sum = sum }
  end,
  minimise = { "f", "g" },
  cases = cases,
}
END
}

teardown() { slurm_stop; }

one_machine() {
  brimvolt sweep night.lua --output one --evaluations 1500 --quiet
}

# same_as_one DIR: fronts and index (but for the seconds), byte by byte.
same_as_one() {
  diff -r one/cases "$1/cases"
  cmp one/front.csv "$1/front.csv"
  cmp one/front.schema.json "$1/front.schema.json"
  diff <(sed 's/,[^,]*$//' one/index.csv) <(sed 's/,[^,]*$//' "$1/index.csv")
}

holder() { awk '{ print $3 }' "many/slices/$1-of-8.lock" 2>/dev/null; }
is_begun() { [ -n "$(holder "$1")" ] && [ -s "many/slices/$1-of-8.diary" ]; }

@test "a job array with a killed task, gone on with, gives one machine's bytes" {
  slurm_needs
  slurm_start
  one_machine
  brimvolt submit night.lua --output many --slices 8 --evaluations 1500 >all.sbatch
  grep -qx '#SBATCH --array=0-7' all.sbatch
  sed -i "s/^program=.*/program=brimvolt/; s/^options=.*/options='--evaluations 1500 --checkpoint 0.1'/" all.sbatch
  array=$(sbatch --parsable all.sbatch)
  sbatch --parsable --dependency=afterany:$array --array=0 all.sbatch merge
  slurm_wait 20 is_begun 2
  kill -9 "$(holder 2)"
  slurm_wait 20 is_begun 5
  # Its answer may be "already completing" where the task ends at once: what
  # counts is what the task says of it.
  scancel --signal=USR1 --batch "${array}_5" || true
  slurm_wait 40 slurm_is_empty
  grep -q 'cases are missing' slice-0.log
  grep -q 'terminated, results saved' slice-5.log
  [ "$(brimvolt status many --missing)" = 2,5 ]
  brimvolt submit night.lua --output many --slices 8 --evaluations 1500 >rest.sbatch
  grep -qx '#SBATCH --array=2,5' rest.sbatch
  array=$(sbatch --parsable rest.sbatch)
  sbatch --dependency=afterany:$array --array=0 rest.sbatch merge
  slurm_wait 40 slurm_is_empty
  [ -z "$(brimvolt status many --missing)" ]
  same_as_one many
}

@test "the same bytes under GNU parallel" {
  command -v parallel >/dev/null ||
    skip "parallel isn't installed: apt-get install parallel (make deps)"
  one_machine
  parallel --will-cite brimvolt sweep night.lua --output many --evaluations 1500 \
    --jobs 1 --quiet --slice {}/4 ::: 0 1 2 3
  brimvolt merge many
  same_as_one many
}
