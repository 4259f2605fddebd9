#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Installing, running from there, uninstalling; and a build from a fresh clone.

bats_require_minimum_version 1.5.0
load common

@test "installed, the program finds its library; uninstalled, nothing is left" {
  make() { command make -s -C "$ROOT" BUILD="$BUILD" DESTDIR="$BATS_TEST_TMPDIR/root" PREFIX=/usr "$@"; }
  make install
  cd "$BATS_TEST_TMPDIR/root/usr"
  run --separate-stderr env -u BRIMVOLT_LIB bin/brimvolt search share/brimvolt/scripts/01-harbour-beacon.lua --quiet --evaluations 300
  [ "$status" -eq 0 ]
  [[ ${lines[0]} == row,core,turns_ratio,* ]]
  mv share/brimvolt/lib share/brimvolt/elsewhere
  run --separate-stderr env -u BRIMVOLT_LIB bin/brimvolt point share/brimvolt/scripts/01-harbour-beacon.lua
  [ "$status" -eq 66 ]
  [[ $stderr == *'cannot find the library beside the program'* ]]
  BRIMVOLT_LIB=$PWD/share/brimvolt/elsewhere bin/brimvolt point share/brimvolt/scripts/01-harbour-beacon.lua >/dev/null
  make uninstall
  [ -z "$(find "$BATS_TEST_TMPDIR/root" -type f)" ]
}

@test "a fresh clone builds, runs the demo, and stays clean" {
  [ "$BUILD" = build ] || skip "once, in the plain build"
  git -C "$ROOT" rev-parse HEAD >/dev/null 2>&1 || skip "not a git checkout"
  cd "$BATS_TEST_TMPDIR"
  git clone -q "$ROOT" clone
  cd clone
  env -u BUILD -u BRIMVOLT -u BRIMVOLT_LIB -u MAKEFLAGS make -s -j2 demo >demo.txt 2>demo.log
  grep -q 'of 60 rows' demo.txt
  [ "$(wc -l <results/harbour-beacon/front.csv)" -eq 61 ]
  rm demo.txt demo.log
  [ -z "$(git status --porcelain | grep -v " results/")" ]
}

@test "the source archive holds what git tracks" {
  git -C "$ROOT" rev-parse HEAD >/dev/null 2>&1 || skip "not a git checkout"
  make -s -C "$ROOT" dist BUILD="$BATS_TEST_TMPDIR"
  tar -tzf "$BATS_TEST_TMPDIR"/brimvolt-*.tar.gz | grep -q '/scripts/01-harbour-beacon.lua$'
}
