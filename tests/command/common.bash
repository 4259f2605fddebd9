# SPDX-License-Identifier: MIT
# Shared by the command tests: small studies without any charger in them.

# study NAME LINE…: writes a study of two variables; the lines are the body of
# evaluate, which ends in a return of f and g.
study() {
  local file=$BATS_TEST_TMPDIR/$1
  shift
  cat >"$file" <<END
local space = require "brimvolt.space"
return {
  title = "Two curves",
  variables = { a = space.real(0, 1), b = space.real(0, 1),
                kind = space.choice { "plain", "odd one" } },
  evaluate = function(x)
$*
    return { f = x.a + x.b * x.b, g = (1 - x.a) ^ 2 + x.b }
  end,
  minimise = { "f", "g" },
  limits = { f = { max = ${LIMIT:-2} } },
}
END
}

# refused CODE TEXT ARGUMENT…: runs the program and looks at exit code and
# standard error; nothing may be on standard output.
refused() {
  local code=$1 text=$2
  shift 2
  run --separate-stderr "$BRIMVOLT" "$@"
  echo "exit $status, expected $code; stderr: $stderr"
  [ "$status" -eq "$code" ] && [ -z "$output" ] && [[ $stderr == *"$text"* ]]
}
