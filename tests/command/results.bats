#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# The kept examples belong together: all are of the kept front.

bats_require_minimum_version 1.5.0

setup() {
  cd "$ROOT/results/harbour-beacon"
}

@test "every kept file is told of in the README beside it, and is small" {
  for file in *; do
    grep -qF "$file" ../README.md
    [ "$(wc -c <"$file")" -lt 300000 ]
  done
  [ "$(wc -c <page.webp)" -lt 200000 ]
}

@test "page and drawing are what the program makes of the front" {
  "$BRIMVOLT" page front.csv | cmp - page.html
  "$BRIMVOLT" plot front.csv | cmp - front.svg
}

@test "the sheet is of a row of the front" {
  row=$("$BRIMVOLT" table front.csv --best 1 --format csv --columns row | tail -n 1)
  sheet=$("$BRIMVOLT" sheet front.csv --row "$row" --format html)
  grep -qF "$(grep -m 1 '<h1' <<<"$sheet")" sheet.html
  # as the program makes it, but for the steps, which take the study
  [ "$(diff <(printf '%s\n' "$sheet") sheet.html | grep -c '^<')" -le 1 ]
}

@test "the table of the project's README is of the front" {
  columns=$(grep -o 'row,charge_time,[a-z_,]*' "$ROOT/Makefile")
  "$BRIMVOLT" table front.csv --best 12 --columns "$columns" | while read -r line; do
    grep -qF -- "$line" "$ROOT/README.md" || { echo "not there: $line" && false; }
  done
}
