#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# brimvolt compare, on a kept front.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  printf 'row,core,a_V,b_s,c\n3,x,1,2,7\n17,y,1,1,7\n40,x,1,3,7\n' >front.csv
  printf '{"fields":[{"name":"row","type":"integer","role":"id"},
    {"name":"core","type":"string","role":"variable"},
    {"name":"a_V","type":"number","role":"result","unit":"V"},
    {"name":"b_s","type":"number","role":"minimise","unit":"s"},
    {"name":"c","type":"number","role":"result"}]}' >front.schema.json
}

@test "rows side by side in the order asked for, what differs first" {
  run --separate-stderr "$BRIMVOLT" compare front.csv --rows 40,3
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
  [[ ${lines[0]} =~ ^row\ +40\ +3\ +spread ]]
  [[ ${lines[1]} =~ ^b\ +s\ +3\.00*\ +2\.00*\ +33\.3\ % ]]
  [ "${lines[2]}" = "The same in all:" ]
  "$BRIMVOLT" compare - --rows=40,3 <front.csv >piped
  grep -q '^b' piped
}

@test "rows that do not fit the width follow in blocks" {
  run --separate-stderr "$BRIMVOLT" compare front.csv --rows 40,3,17 --width 24
  [ "$status" -eq 0 ]
  [ "$(grep -c '^row ' <<<"$output")" -eq 3 ]
  run "$BRIMVOLT" compare front.csv --rows 40,3,17 --width 0
  [ "$(grep -c '^row ' <<<"$output")" -eq 1 ]
}

@test "texts that do not fit the width are wrapped, and nothing of them is lost" {
  long='a long note of many words, of µ and Ω, that no line of forty letters holds'
  word=$(printf 'x%.0s' {1..50})
  printf 'row,note,same,b_s\n3,"%s",%s,2\n17,short,%s,1\n' "$long" "$word" "$word" >front.csv
  printf '{"fields":[{"name":"row","type":"integer","role":"id"},
    {"name":"note","type":"string","role":"result"},
    {"name":"same","type":"string","role":"result"},
    {"name":"b_s","type":"number","role":"minimise","unit":"s"}]}' >front.schema.json
  run --separate-stderr "$BRIMVOLT" compare front.csv --rows 3,17 --width 40
  [ "$status" -eq 0 ]
  echo "$output"
  [ "$(LC_ALL=C.UTF-8 awk '{ if (length > most) most = length } END { print most }' <<<"$output")" -le 40 ]
  # the words of the note, in their order, from its lines down to the next row
  words=$(sed -n '/^note/,/^b/p;/^b/q' <<<"$output" | head -n -1 | sed 's/^note//' | xargs)
  [ "$words" = "$long" ]
  [ "$(grep -o 'x*' <<<"$output" | tr -d '\n' | wc -c)" -eq 50 ]
  run --separate-stderr "$BRIMVOLT" compare front.csv --rows 3,17 --width 0
  [[ $output == *"$long"* && $output == *"$word"* ]]
}

@test "a line that is full is cut at the blank behind it, which goes with it" {
  printf 'row,note\n3,abcdefghijklmnop z vwxyz\n17,abcdefghijklmnop abcdefghijklmnop\n' >front.csv
  printf '{"fields":[{"name":"row","type":"integer","role":"id"},
    {"name":"note","type":"string","role":"result"}]}' >front.schema.json
  run --separate-stderr "$BRIMVOLT" compare front.csv --rows 3,17 --width 32
  [ "$status" -eq 0 ]
  diff - <(sed 's/ *$//' <<<"$output") <<'END'
row                    3  spread
note    abcdefghijklmnop
        z vwxyz

row                   17  spread
note    abcdefghijklmnop
        abcdefghijklmnop
END
}

@test "what is wrong is told" {
  refused 64 'expected --rows ID,ID' compare front.csv
  refused 64 "no row '99' among 3 rows" compare front.csv --rows 3,99
  refused 64 "no row 'x' among 3 rows" compare front.csv --rows x
  refused 64 "expected words with commas between, found '3,,17'" compare front.csv --rows 3,,17
  refused 66 'absent.csv' compare absent.csv --rows 1
}
