#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# From nothing to a front of one's own.

setup() {
  cd "$BATS_TEST_TMPDIR"
}

@test "the first study holds together and gives a front" {
  run "$BRIMVOLT" init deep/studies
  [ "$status" -eq 0 ]
  cd deep/studies
  run "$BRIMVOLT" check study.lua
  [ "$status" -eq 0 ]
  feasible=$(sed -n 's/.* points, \([0-9]*\) feasible.*/\1/p' <<<"$output")
  [ "$feasible" -gt 10 ]
  "$BRIMVOLT" search study.lua --evaluations 2000 --quiet --output front.csv
  [ "$(wc -l <front.csv)" -gt 10 ]
}

@test "its settings are read by luacheck and name the definitions" {
  "$BRIMVOLT" init studies
  luacheck --quiet --config studies/.luacheckrc studies/study.lua
  echo 'return os.time()' >studies/bad.lua
  run luacheck --config studies/.luacheckrc studies/bad.lua
  [ "$status" -ne 0 ]
  folder=$(python3 -c 'import json; print(json.load(open("studies/.luarc.json"))["workspace.library"][0])')
  [ -f "$folder/brimvolt/charger.lua" ]
}

@test "nothing is overwritten" {
  mkdir studies
  echo mine >studies/study.lua
  run "$BRIMVOLT" init studies
  [ "$status" -eq 73 ]
  [[ $output == *"studies/study.lua exists already; nothing was written"* ]]
  [ "$(cat studies/study.lua)" = mine ]
  [ ! -e studies/.luarc.json ]
}
