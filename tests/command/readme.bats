#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# What README.md says about commands, options and exit codes is so.

bats_require_minimum_version 1.5.0

readme() { cat "$ROOT/README.md"; }

@test "every exit code of the program is in the README, word by word" {
  "$BRIMVOLT" --help | sed -n '/^exit codes:/,$p' | tail -n +2 |
    while read -r code meaning; do
      readme | grep -qxF "| $code | $meaning |"
    done
  [ "$(readme | grep -cE '^\| [0-9]+ \|')" -eq "$("$BRIMVOLT" --help | grep -cE '^  [0-9]+ ')" ]
}

@test "every command is in the README, and every option there exists" {
  for command in $("$BRIMVOLT" --help | sed -n '/^commands:/,/^$/s/^  \([a-z]*\) .*/\1/p'); do
    readme | grep -q "brimvolt $command"
  done
  readme | grep -v sbatch | grep -oE '(^ |\[| )--[a-z-]+' | grep -oE '[a-z][a-z-]+' | sort -u |
    while read -r option; do
      for command in $("$BRIMVOLT" --help | sed -n '/^commands:/,/^$/s/^  \([a-z]*\) .*/\1/p') ''; do
        "$BRIMVOLT" $command --help | grep -qE -- "--$option\b" && continue 2
      done
      echo "no option --$option" && false
    done
}

@test "every target the README and DEVELOPERS name exists" {
  cat "$ROOT/README.md" "$ROOT/DEVELOPERS.md" | grep -oE '\bmake( [a-z][a-z-]+)+' | cut -d ' ' -f 2- |
    tr ' ' '\n' | sort -u | grep -E '^(deps|all|demo|check.*|lint|layers|bench|install|uninstall|dist|clean|format|help|soak)$' |
    while read -r target; do
      grep -qE "^$target:" "$ROOT/Makefile"
    done
}

@test "every file the README names exists" {
  readme | grep -oE '`(scripts|lib|src|results)/[^` ]*`' | tr -d '`' |
    while read -r file; do
      [ -e "$ROOT/$file" ]
    done
}

@test "every model has its row in DEVELOPERS" {
  for header in "$ROOT"/src/model/*.h; do
    sed -n '/^## The models/,/^## Add something/p' "$ROOT/DEVELOPERS.md" |
      grep -qF "\`$(basename "$header" .h)\`" || { echo "$header" && false; }
  done
}
