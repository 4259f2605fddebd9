#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt page, and the page in a browser.

bats_require_minimum_version 1.5.0

setup() {
  cd "$BATS_TEST_TMPDIR"
  printf 'row,charge_time_s,loss_energy_J\n1,1,3\n2,2,2\n3,3,1\n' >front.csv
}

@test "the page goes to standard output or to a file" {
  "$BRIMVOLT" page front.csv >a.html
  "$BRIMVOLT" page - --output b.html <front.csv
  cmp a.html b.html
  [ "$(head -c 15 a.html)" = "<!doctype html>" ]
}

@test "its policy names the script's hash as openssl has it" {
  command -v openssl >/dev/null || skip "needs openssl"
  "$BRIMVOLT" page front.csv >a.html
  hash=$(awk '/^<script>/ { on = 1; sub(/^<script>/, "") }
              /^<\/script>$/ && on { exit }
              on { print }' a.html |
    openssl dgst -sha256 -binary | base64)
  grep -qF "script-src 'sha256-$hash'" a.html
}

@test "designs near another front are left out, and that is told" {
  near() { # near SEED: a design near the front of that seed
    printf 'row,near_limit,charge_time_s\n1,heat,0.5\n' >front.near.csv
    printf '{"fields":[],"origin":{"seed":"%s"}}' "$1" >front.near.schema.json
  }
  printf '{"fields":[],"origin":{"seed":"1"}}' >front.schema.json
  near 1
  "$BRIMVOLT" page front.csv >with.html 2>err
  [ ! -s err ]
  grep -q '"near":{"count":1' with.html
  near 2
  "$BRIMVOLT" page front.csv >without.html 2>err
  grep -q 'front.near.csv: expected designs near front.csv.*left out' err
  run ! grep -q '"near":{"count"' without.html
}

@test "what is wrong is told" {
  run "$BRIMVOLT" page absent.csv
  [ "$status" -eq 66 ]
  run "$BRIMVOLT" page front.csv --output nowhere/a.html
  [ "$status" -eq 73 ]
}

@test "the page works in a browser" {
  command -v chromium >/dev/null || skip "needs chromium"
  command -v pdftotext >/dev/null || skip "needs poppler-utils"
  command -v python3 >/dev/null || skip "needs python3"
  PYTHONDONTWRITEBYTECODE=1 python3 "$ROOT/tests/view/page_checks.py" \
    "$BRIMVOLT" "$PWD"
}
