#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# What a name means.

@test "explain tells meaning, unit, equation and where a name is used" {
  run "$BRIMVOLT" explain charge_time skin_depth
  [ "$status" -eq 0 ]
  [[ $output == *"charge_time [s]: time to the target voltage"* ]]
  [[ $output == *"result of charger.design"* ]]
  [[ $output == *"sqrt(rho/(pi f mu0))"* ]]
}

@test "explain names the nearest for a mistyped name" {
  run "$BRIMVOLT" explain chrage_time
  [ "$status" -eq 64 ]
  [[ $output == *"unknown name 'chrage_time', did you mean 'charge_time'?"* ]]
}

@test "every name that the first study uses is explained" {
  run "$BRIMVOLT" explain charger.design brimvolt.charger space units minimise
  [ "$status" -eq 0 ]
  [[ $output == *"charger.design(job: brimvolt.job"* ]]
  [[ $output == *'require "brimvolt.charger": '*"functions: job, ideal,"* ]]
  [[ $output == *"minimise: names of results to be made small"*"entry of the table a study returns"* ]]
  local names
  names=$(sed 's/--.*//; s/"[^"]*"//g' "$ROOT/lib/first/study.lua" |
    grep -oE '[a-z_]+(\.[a-z_]+)?' | sort -u |
    grep -vxE 'local|require|return|function|end|x|u|u\..*|min|max|nominal|e|f|job')
  [ "$(wc -l <<<"$names")" -gt 20 ]
  "$BRIMVOLT" explain $names
  run "$BRIMVOLT" explain space.design
  [ "$status" -eq 64 ]
  run "$BRIMVOLT" explain charger.desing
  [[ $output == *"did you mean 'design'?"* ]]
}

@test "explain without a name is misuse" {
  run "$BRIMVOLT" explain
  [ "$status" -eq 64 ]
  [[ $output == *"expected a name, found none"* ]]
}

@test "every listed name is listed once and can be explained" {
  "$BRIMVOLT" explain --list >"$BATS_TEST_TMPDIR/names"
  [ "$(wc -l <"$BATS_TEST_TMPDIR/names")" -gt 200 ]
  [ -z "$(sort "$BATS_TEST_TMPDIR/names" | uniq -d)" ]
  xargs -n 50 "$BRIMVOLT" explain <"$BATS_TEST_TMPDIR/names" >/dev/null
}

@test "a flag and a whole number are told as a script has to give them" {
  run "$BRIMVOLT" explain interleaved test_voltage sections
  [[ $output == *"choice for charger.design, true or false, default false"* ]]
  [[ $output == *"reinforced insulation, true or false, default false"* ]]
  [[ $output == *"choice for charger.design, whole, from 1 to 12, default 1"* ]]
}

@test "every table of the reference has a title that reads" {
  run grep -E '^## .*\b([a-z]+) \1\b' "$ROOT/lib/reference.md"
  [ -z "$output" ]
  [ "$(grep -c '^## brimvolt\.[a-z_]*: each [a-z]' "$ROOT/lib/reference.md")" -gt 10 ]
}
