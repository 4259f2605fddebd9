#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# A sweep on a disk that is full, on one that can't be written, and killed at
# any moment: a message and an exit code, and nothing is lost.

bats_require_minimum_version 1.5.0
load common
load sweep

setup() {
  cd "$BATS_TEST_TMPDIR"
  cases
}

teardown() {
  ! mountpoint -q "$BATS_TEST_TMPDIR/small" || umount "$BATS_TEST_TMPDIR/small"
}

# unprivileged COMMAND…: root may write everything, so as somebody else.
unprivileged() {
  if [ "$(id -u)" -eq 0 ]; then
    setpriv --reuid=65534 --regid=65534 --clear-groups "$@"
  else
    "$@"
  fi
}

@test "a full disk is told, and the sweep goes on when there is room" {
  mkdir small
  mount -t tmpfs -o size=192k none small 2>/dev/null ||
    skip "mounting a small tmpfs needs root"
  sweep whole
  run --separate-stderr sweep small/out --checkpoint 0
  [ "$status" -eq 74 ] || [ "$status" -eq 73 ]
  [[ $stderr == *"No space left on device"* ]]
  mount -o remount,size=8m small
  sweep small/out
  same whole small/out
}

@test "a folder that can't be written is told before any work" {
  chmod a+rx "$BATS_TEST_TMPDIR" "${BATS_TEST_TMPDIR%/*}" "$BATS_RUN_TMPDIR"
  unprivileged test -r cases.lua ||
    skip "the test's folder can't be read by another user"
  mkdir out
  chmod 555 out
  run unprivileged "$BRIMVOLT" sweep cases.lua --output out --quiet
  [ "$status" -eq 73 ]
  [[ $output == *"out/cases: Permission denied"* ]]
  run sweep cases.lua/out
  [ "$status" -eq 73 ]
}

@test "a journal that may only be read is told, nothing is lost" {
  chmod a+rx "$BATS_TEST_TMPDIR" "${BATS_TEST_TMPDIR%/*}" "$BATS_RUN_TMPDIR"
  unprivileged test -r cases.lua ||
    skip "the test's folder can't be read by another user"
  sweep whole
  cp -r whole out
  sed -i '$d' out/slices/0-of-1.entries
  chmod -R a+rwX out
  chmod 444 out/slices/0-of-1.entries
  run unprivileged "$BRIMVOLT" sweep cases.lua --evaluations 1200 --output out \
    --quiet
  [ "$status" -eq 73 ]
  [[ $output == *"0-of-1.entries: Permission denied"* ]]
  chmod 644 out/slices/0-of-1.entries
  sweep out
  same whole out
}

@test "killed at any moment, a sweep goes on to the bytes of one that wasn't" {
  "$ROOT/tests/fault/soak" "${BV_SOAK_KILLS:-12}" cases.lua
}

@test "a case whose front was taken away is missing, and searched again" {
  sweep whole
  cp -r whole cut
  rm "cut/cases/two, or so.csv" cut/cases/four.schema.json
  run "$BRIMVOLT" status cut
  [[ $output == *'slice 0/1: stopped, 2 of 4 cases'*'missing slices: 0'* ]]
  run --separate-stderr "$BRIMVOLT" merge cut
  [ "$status" -eq 0 ]
  [[ $stderr == *'2 cases are missing'* ]]
  grep -q '^four,missing,' cut/index.csv
  run --separate-stderr "$BRIMVOLT" sweep cases.lua --output cut --evaluations 1200
  [ "$status" -eq 0 ]
  [[ $stderr == *"the front of case 'two, or so' is gone: it is searched again"* ]]
  [[ $stderr == *"the front of case 'four' is gone: it is searched again"* ]]
  same whole cut
}

@test "a folder that may only be read is merged elsewhere" {
  chmod a+rx "$BATS_TEST_TMPDIR" "${BATS_TEST_TMPDIR%/*}" "$BATS_RUN_TMPDIR"
  unprivileged test -r cases.lua ||
    skip "the test's folder can't be read by another user"
  sweep out
  chmod -R a-w out
  run --separate-stderr unprivileged "$BRIMVOLT" merge out --output -
  echo "$stderr"
  [ "$status" -eq 0 ]
  [ "$output" = "$(<out/front.csv)" ]
  [[ $stderr == 'out/index.csv: Permission denied; the folder gets no index' ]]
  run unprivileged "$BRIMVOLT" merge out
  [ "$status" -eq 73 ]
  chmod -R u+w out
}
