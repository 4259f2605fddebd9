#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Bad input: a clear message, the documented exit code, the old front as it was.

bats_require_minimum_version 1.5.0
load common

setup() {
  cd "$BATS_TEST_TMPDIR"
  printf 'row,old\n1,2\n' >front.csv
  cp front.csv old.csv
}

teardown() {
  cmp front.csv old.csv
  # nothing half-written is left behind
  run ! ls front.csv.* 2>/dev/null
}

# bad CODE TEXT FILE [ARGUMENT…]: searching FILE is refused.
bad() {
  local code=$1 text=$2 file=$3
  shift 3
  refused "$code" "$text" search "$file" --quiet --evaluations 300 --output front.csv "$@"
}

@test "a missing file" { bad 66 'absent.lua: No such file or directory' absent.lua; }

@test "a folder as file" {
  mkdir folder.lua
  bad 66 'folder.lua: expected a file, found a folder' folder.lua
}

@test "a binary chunk" {
  printf '\033LuaT\0\x19\x93\r\n\x1a\n' >chunk.lua
  bad 65 'chunk.lua' chunk.lua
}

@test "an empty file and one that returns no table" {
  : >empty.lua
  bad 65 'empty.lua' empty.lua
  echo 'return 5' >five.lua
  bad 65 'table' five.lua
}

@test "a syntax error names file and line" {
  printf 'local x = 1\nreturn { = }\n' >syntax.lua
  bad 65 'syntax.lua:2:' syntax.lua
}

@test "an error while loading names file and line" {
  printf 'local x\n\nreturn { x.y }\n' >load.lua
  bad 65 'load.lua:3:' load.lua
}

@test "an error in evaluate names file and line, at once" {
  study error.lua '    local nothing; nothing.field = 1'
  bad 65 'error.lua:7:' error.lua
}

@test "an infinite loop in evaluate" {
  study loop.lua '    while true do end'
  bad 65 'loop.lua: cannot evaluate any of 2 points' loop.lua --point-time 1
}

@test "an infinite loop while loading" {
  echo 'while true do end' >loop.lua
  bad 65 'loop.lua' loop.lua
}

@test "a point that takes too long tells its line, if the script takes steps" {
  study loop.lua 'while true do end'
  bad 65 'loop.lua:7: stopped: more time than --point-time allows (an endless loop?)' \
    loop.lua --point-time 0.2
  refused 65 'loop.lua:7: stopped: more time than --point-time allows' \
    check loop.lua --point-time 0.2
  study pattern.lua 'local _ = ("a"):rep(40):find((".-"):rep(40) .. "b")'
  bad 65 'the evaluation took longer than --point-time allows, without a step of the script' \
    pattern.lua --point-time 0.2
}

@test "what a point may take in steps grows with --point-time" {
  [ "$BUILD" = build ] || skip "a sanitizer's copies take longer than the time"
  study long.lua 'for _ = 1, 15 do local _ = ("x"):rep(7e7) end'
  refused 65 'long.lua:7: stopped: too many steps' point long.lua
  "$BRIMVOLT" point long.lua --point-time 20
}

@test "a text too long is told as such" {
  study text.lua '    local s = ("x"):rep(1e10)'
  bad 65 'too many steps (a text or list too long?)' text.lua
}

@test "endless memory in evaluate" {
  study memory.lua '    local t = {}; for i = 1, 1e12 do t[i] = i end'
  bad 65 'memory' memory.lua
}

@test "endless memory while loading" {
  echo 'local s = "x" while true do s = s .. s end' >memory.lua
  bad 65 'memory' memory.lua
}

@test "a pattern that never ends is cut from outside" {
  study pattern.lua '    string.find(string.rep("a", 3000), ".-.-.-.-.-b")'
  bad 65 'pattern.lua' pattern.lua --point-time 0.3
}

@test "a pattern that never ends while loading" {
  echo 'return string.find(string.rep("a", 3000), ".-.-.-.-.-b")' >pattern.lua
  bad 65 'pattern.lua: stopped: loading takes too long' pattern.lua
}

# A study with one part of it replaced: edit FROM TO.
edit() {
  study edited.lua
  local text
  text=$(<edited.lua)
  [[ $text == *"$1"* ]] || return 1
  printf '%s\n' "${text/"$1"/"$2"}" >edited.lua
}

@test "an unknown key, with the nearest known name" {
  edit 'minimise =' 'minimize ='
  bad 65 'minimise' edited.lua
  [[ $stderr == *minimize* ]]
}

@test "a budget in a study: it belongs on the command line" {
  for budget in 0 -5 1000; do
    edit 'minimise =' "evaluations = $budget, minimise ="
    bad 65 'evaluations: unknown name; known are title, variables' edited.lua
  done
}

@test "wrong types" {
  edit 'minimise = { "f", "g" }' 'minimise = 3'
  bad 65 'minimise' edited.lua
  edit 'a = space.real(0, 1)' 'a = "wide"'
  bad 65 'a' edited.lua
  edit 'space.real(0, 1), b' 'space.real("zero", 1), b'
  bad 65 'number' edited.lua
}

@test "a reversed, an empty and a NaN range" {
  edit 'a = space.real(0, 1)' 'a = space.real(1, 0)'
  bad 65 'edited.lua:4' edited.lua
  edit 'a = space.real(0, 1)' 'a = space.real(0, 0/0)'
  bad 65 'nan' edited.lua
  edit 'space.choice { "plain", "odd one" }' 'space.choice {}'
  bad 65 'choice' edited.lua
}

@test "no variables, no objective" {
  edit 'variables = {' 'variables = {}, starts_not = {'
  bad 65 'variables' edited.lua
  edit 'minimise = { "f", "g" }' 'minimise = {}'
  bad 65 'minimise' edited.lua
}

@test "an unknown result among objectives or limits, with the nearest name" {
  edit 'minimise = { "f", "g" }' 'minimise = { "f", "h" }'
  bad 65 "h" edited.lua
  edit 'f = { max = 2 }' 'ff = { max = 2 }'
  bad 65 'ff' edited.lua
}

@test "no feasible point: exit 1, least-violating points, limits that bind" {
  LIMIT=-1 study tight.lua
  bad 1 'no feasible design found, nothing is written to front.csv' tight.lua
  [[ $stderr == *'least-violating points:'* ]]
  [[ $stderr == *"brimvolt point tight.lua a="* ]]
  [[ $stderr == *'allowed at most -1'* ]]
  [[ $stderr == *'limits that bind: f (max, at 5 of 5 points)'* ]]
}

@test "points that fail are counted by kind, kept out, and shown by a command" {
  study some.lua '    if x.a > 0.5 then error("too far") end
    if x.b > 0.5 then return { f = 0/0, g = 1 } end'
  run --separate-stderr "$BRIMVOLT" search some.lua --evaluations 500 --output new.csv
  [ "$status" -eq 0 ]
  [[ $stderr == *'points failed: the evaluation raised an error (error)'* ]]
  [[ $stderr == *'some.lua:7: too far'* ]]
  [[ $stderr == *'points failed: an objective or limit was not finite (not_a_number)'* ]]
  command=$(sed -n 's/^ *brimvolt //p' <<<"$stderr" | head -n 1)
  run --separate-stderr bash -c "'$BRIMVOLT' $command"
  [ "$status" -eq 65 ]
  [[ $stderr == *'too far'* ]]
}

@test "an unwritable place for the output" {
  study good.lua
  refused 73 'absent/front.csv: No such file or directory' search good.lua --output absent/front.csv
  refused 73 'front.csv/x.csv: Not a directory' search good.lua --output front.csv/x.csv
  mkdir folder
  refused 73 'folder: expected a file, found a folder' search good.lua --output folder
}

@test "a read-only folder" {
  mkdir readonly
  mount -t tmpfs -o size=64k,ro none readonly 2>/dev/null || skip "may not mount"
  study good.lua
  run --separate-stderr "$BRIMVOLT" search good.lua --output readonly/front.csv
  umount readonly
  [ "$status" -eq 73 ]
  [[ $stderr == *'Read-only file system'* ]]
}

@test "a full disk keeps the old front" {
  mkdir small
  mount -t tmpfs -o size=8k none small 2>/dev/null || skip "may not mount"
  cp old.csv small/front.csv
  study good.lua
  run --separate-stderr "$BRIMVOLT" search good.lua --quiet --evaluations 4000 --output small/front.csv
  cmp small/front.csv old.csv
  left=$(ls small)
  umount small
  [ "$status" -eq 74 ]
  [ "$left" = front.csv ]
  [[ $stderr == *'No space left on device'* ]]
}

@test "too little address space is told with what it takes" {
  study plain.lua
  (ulimit -v 20000 && "$BRIMVOLT" --version) || skip "a sanitizer takes more"
  (ulimit -v 20000 && refused 70 ' MB shared with workers: Cannot allocate memory (ulimit -v?)' \
    search plain.lua --evaluations 300 --output front.csv)
}

@test "a library that is not there" {
  study good.lua
  BRIMVOLT_LIB=/nowhere refused 66 "BRIMVOLT_LIB: expected a folder with brimvolt/ in it, found '/nowhere'" search good.lua
}

@test "point: unknown names, values out of range, labels that are no choice" {
  study good.lua
  refused 64 'a' point good.lua aa=1
  refused 64 'a' point good.lua a=2
  refused 64 'kind' point good.lua kind=even
  refused 64 'a' point good.lua a
  refused 64 'expected --front and --row together' point good.lua --row 1
}

@test "an output that can't be written is told before the search" {
  study slow.lua
  mkdir other.schema.json near.near.csv nearer.near.schema.json
  refused 73 'other.schema.json: expected a file, found a folder' search slow.lua --output other.csv
  refused 73 'near.near.csv: expected a file, found a folder' search slow.lua --output near.csv
  refused 73 'nearer.near.schema.json: expected a file' search slow.lua --output nearer.csv
  [[ $stderr != *evaluations* ]]
  refused 64 '--output: expected FRONT.csv, found nothing' search slow.lua --output ''
}

@test "an output in the place of what it is made from" {
  local text='--output: expected another file than the input' command
  study slip.lua
  cp slip.lua kept.lua
  ln -s slip.lua link.lua
  refused 64 "$text, found './slip.lua'" search slip.lua --output ./slip.lua
  refused 64 "$text" search slip.lua --output link.lua
  "$BRIMVOLT" search slip.lua --quiet --evaluations 500 --output made.csv
  cp made.csv kept.csv
  for command in page plot 'sheet --row 1' 'wave --row 1'; do
    refused 64 "$text" $command made.csv --output made.csv
  done
  refused 64 "$text" sheet made.csv --row 1 --study slip.lua --output slip.lua
  cmp slip.lua kept.lua && cmp made.csv kept.csv
  # a search may go on from its own front
  "$BRIMVOLT" search slip.lua --quiet --evaluations 500 --seed-designs made.csv --output made.csv
}

# IEC 60205: Ve = Ae le; Steinmetz factors are often told for kHz and mT.
@test "parts whose figures contradict each other are told by row" {
  parts() { # parts KIND HEADER ROW: a study that reads such a file
    printf '%s\n%s\n' "$2" "$3" >parts.csv
    cat >parts.lua <<END
local space = require "brimvolt.space"
local parts = require("brimvolt.catalogue").$1 { file = "parts.csv" }
return {
  variables = { part = space.choice(parts), a = space.real(0, 1) },
  evaluate = function(x) return { f = x.a } end,
  minimise = { "f" },
}
END
  }
  local core=name,effective_area_mm2,effective_length_mm,effective_volume_mm3
  local wire=name,bare_diameter_mm,insulated_diameter_mm,strands
  local loss=name,steinmetz_k,steinmetz_alpha,steinmetz_beta,saturation_flux_25_T
  loss+=,saturation_flux_100_T,relative_permeability
  parts cores $core 'A,97,78.6,7.64'
  bad 65 'parts.csv: row 1, "A": effective_volume: expected effective_area times effective_length (IEC 60205), 7.62e-06 m3, found 7.64e-09 m3' parts.lua
  parts wires $wire 'B,0.1,0.9,100'
  bad 65 '"B": insulated_diameter: expected at least 0.001 m' parts.lua
  parts materials $loss 'C,0.015e9,1.4,2.4,0.5,0.4,2000'
  bad 65 '"C": steinmetz_k: expected a loss from 1000 to 1e+08 W/m3' parts.lua
  parts cores $core 'A,97,78.6,7640'
  "$BRIMVOLT" check parts.lua --points 10 >/dev/null
  parts wires $wire 'B,0.1,1.3,100'
  "$BRIMVOLT" check parts.lua --points 10 >/dev/null
  parts materials $loss 'C,4.0,1.4,2.4,0.5,0.4,2000'
  "$BRIMVOLT" check parts.lua --points 10 >/dev/null
}

@test "a folder to merge that isn't there" {
  refused 66 'nowhere: No such file or directory' merge "$BATS_TEST_TMPDIR/nowhere"
}
