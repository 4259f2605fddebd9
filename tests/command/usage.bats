#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Help, misuse, and the standard streams.

bats_require_minimum_version 1.5.0
load common

@test "help goes to stdout with exit 0, for the program and each command" {
  run --separate-stderr "$BRIMVOLT" --help
  [ "$status" -eq 0 ]
  [ -z "$stderr" ]
  for word in search point table sheet wave '130  interrupted' 'exit codes'; do
    [[ $output == *"$word"* ]]
  done
  for command in search point table compare plot sheet wave; do
    run --separate-stderr "$BRIMVOLT" $command --help
    [ "$status" -eq 0 ]
    [ -z "$stderr" ]
    [[ $output == "usage: brimvolt $command "* ]]
    [[ $output == *"example: brimvolt $command "* ]]
  done
}

@test "help as a word, and where the manual is" {
  [ "$("$BRIMVOLT" help)" = "$("$BRIMVOLT" --help)" ]
  [ "$("$BRIMVOLT" help table)" = "$("$BRIMVOLT" table --help)" ]
  refused 64 "unknown command 'tabel', did you mean 'table'?" help tabel
  local place
  place=$("$BRIMVOLT" help | sed -n 's/^How to write a study: //p')
  grep -q '^# Writing studies' "$place"
  grep -q '^# Reference' "${place%/*}/reference.md"
}

@test "the meanings of a command's options begin in one column" {
  local LC_ALL=C.UTF-8 command line place
  for command in $("$BRIMVOLT" --help | sed -n '/^commands:/,/^$/s/^  \([a-z]*\) .*/\1/p'); do
    place=
    while IFS= read -r line; do
      echo "$command: $line"
      [[ $line =~ ^\ \ --.*[^\ ]\ \ +([^\ ].*)$ ]]
      : "${place:=$((${#line} - ${#BASH_REMATCH[1]}))}"
      [ $((${#line} - ${#BASH_REMATCH[1]})) -eq "$place" ]
    done < <("$BRIMVOLT" $command --help | grep '^  --')
    [ -n "$place" ]
  done
}

# Those of a sweep name a study of the user's.
@test "the examples of the help do what they say" {
  local command line
  cd "$BATS_TEST_TMPDIR"
  ln -s "$ROOT/scripts" scripts
  for command in init check search point explain table compare page plot sheet wave; do
    line=$("$BRIMVOLT" $command --help | sed -n "s/^example: brimvolt $command//p")
    [ -n "$line" ]
    [ $command != search ] || line+=" --evaluations 3000"
    echo "brimvolt $command$line"
    eval "\"$BRIMVOLT\" $command $line" </dev/null >out 2>err || {
      cat err
      false
    }
  done
}

@test "the version is told" {
  run "$BRIMVOLT" --version
  [ "$status" -eq 0 ]
  [[ $output =~ ^brimvolt\ [0-9]+\.[0-9]+\.[0-9]+$ ]]
}

@test "misuse goes to stderr with exit 64, the right form and the nearest name" {
  refused 64 'expected a command'
  refused 64 "unknown command 'serach', did you mean 'search'?" serach x.lua
  [[ $stderr == *'example: brimvolt search '* ]]
  refused 64 "unknown command 'frobnicate'; 'brimvolt --help' lists all" frobnicate
  refused 64 'unknown option --evaluation, did you mean --evaluations?' search x.lua --evaluation 5
  [[ $stderr == *'usage: brimvolt search STUDY.lua'* ]]
  refused 64 'unknown option -x' search -x
  refused 64 'expected STUDY.lua, found nothing' search
  refused 64 "expected STUDY.lua, found 'y.lua' too" search x.lua y.lua
  refused 64 '--seed: expected N after it' search x.lua --seed
  refused 64 "--quiet takes no value, found '1'" search x.lua --quiet=1
}

@test "values of options are checked" {
  refused 64 "--evaluations: expected a whole number from 1 to 1000000000000, found '0'" search x.lua --evaluations 0
  refused 64 "found '-5'" search x.lua --evaluations -5
  refused 64 "found '1.5'" search x.lua --evaluations 1.5
  refused 64 "expected a whole number from 1 to 1000000000000, found '0'" sweep x.lua --output x --evaluations 0
  refused 64 "found '-1'" sweep x.lua --output x --evaluations=-1
  refused 64 "--time: expected a number from 0.001 up, found '0'" search x.lua --time 0
  refused 64 "found '-3'" search x.lua --time -3
  refused 64 "--time: expected a number from 0.001 up, found 'soon'" search x.lua --time=soon
  refused 64 "found 'nan'" search x.lua --time nan
  refused 64 "--jobs: expected a whole number from 1 to 256, found '999'" search x.lua --jobs 999
  refused 64 "--format: expected text or csv, found 'xml'" point x.lua --format xml
}

@test "a reader who goes away ends the program quietly" {
  study quick.lua
  run bash -c "'$BRIMVOLT' search '$BATS_TEST_TMPDIR/quick.lua' --quiet --evaluations 3000 2>'$BATS_TEST_TMPDIR/err' | head -n 1 >/dev/null; echo \${PIPESTATUS[0]}"
  [ ! -s "$BATS_TEST_TMPDIR/err" ]
}

@test "a full or closed standard output is exit 74" {
  study quick.lua
  for words in --help "search $BATS_TEST_TMPDIR/quick.lua --quiet --evaluations 200"; do
    run --separate-stderr bash -c "'$BRIMVOLT' $words >/dev/full"
    [ "$status" -eq 74 ]
    [[ $stderr == *'standard output: No space left on device'* ]]
    run --separate-stderr bash -c "'$BRIMVOLT' $words >&-"
    [ "$status" -eq 74 ]
    [[ $stderr == *'standard output: Bad file descriptor'* ]]
  done
}
