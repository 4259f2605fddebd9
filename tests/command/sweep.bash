# SPDX-License-Identifier: MIT
# Shared by the tests of sweeps: a study of four cases, and what must be equal.

# cases [STEPS]: writes cases.lua; a point takes so many steps of a loop.
cases() {
  cat >cases.lua <<END
local space = require "brimvolt.space"
return {
  title = "Curves",
  variables = { a = space.real(0, 1), b = space.real(0, 1) },
  evaluate = function(x, case)
    for _ = 1, ${1:-1} do end
    return { f = x.a * case.p + x.b ^ 2, g = (1 - x.a) ^ 2 + x.b }
  end,
  minimise = { "f", "g" },
  limits = { f = { max = 0.9 } },
  cases = { { name = "one", p = 1 }, { name = "two, or so", p = 2 },
            { name = "three", p = 3 }, { name = "four", p = 4 } },
}
END
}

# sweep DIR OPTION…: a small one.
sweep() {
  local folder=$1
  shift
  "$BRIMVOLT" sweep cases.lua --output "$folder" --evaluations 1200 --quiet "$@"
}

# same A B: fronts, sidecars, reports, and the index but for its seconds.
same() {
  diff -r "$1/cases" "$2/cases" && cmp "$1/front.csv" "$2/front.csv" &&
    cmp "$1/front.schema.json" "$2/front.schema.json" &&
    diff <(sed 's/,[^,]*$//' "$1/index.csv") <(sed 's/,[^,]*$//' "$2/index.csv")
}

# soon COMMAND…: waits at most 20 s until it succeeds.
soon() {
  local most=$((SECONDS + 20))
  until "$@"; do
    [ $SECONDS -lt $most ] || return 1
    sleep 0.01
  done
}
