#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Fronts in other programs: pandas and gnuplot read and write them without loss.

setup() {
  cd "$BATS_TEST_TMPDIR"
  cp "$ROOT/results/harbour-beacon/front.csv" .
  # What no charger has: quotes, line ends, empty cells, the ends of a double.
  printf '%s\n' 'row,core,a_V,b_s' '1,"E 1, ""x""",5e-324,0.1' \
    '2,"two
lines",1.7976931348623157e+308,' '3,ü,-0.30000000000000004,INF' >odd.csv
}

python_with_pandas() {
  for python in python3 /usr/bin/python3; do
    "$python" -c 'import pandas' 2>/dev/null && return
  done
  skip "needs python3-pandas"
}

@test "pandas reads every cell and its copy is the same front" {
  python_with_pandas
  for name in front.csv odd.csv; do
    "$python" - "$name" <<'END'
import csv, sys
import pandas
table = pandas.read_csv(sys.argv[1], float_precision="round_trip",
                        keep_default_na=False, na_values=[""])
rows = list(csv.reader(open(sys.argv[1], newline="", encoding="utf-8")))
assert list(table.columns) == rows[0] and len(table) == len(rows) - 1
for mine, row in zip(table.itertuples(index=False), rows[1:]):
    for value, text in zip(mine, row):
        assert (value == text if isinstance(value, str) else
                pandas.isna(value) if text == "" else
                float(value) == float(text)), (value, text)
table.to_csv("copy.csv", index=False, lineterminator="\r\n")
END
    "$BRIMVOLT" table copy.csv --format csv >copied
    "$BRIMVOLT" table "$name" --format csv >kept
    cmp copied kept
  done
  "$BRIMVOLT" table front.csv --format csv | cmp - front.csv
}

@test "gnuplot reads a front and draws it; its numbers are the file's" {
  command -v gnuplot >/dev/null || skip "needs gnuplot"
  gnuplot <<END
set datafile separator comma
set table "numbers"
plot "front.csv" using (sprintf("%.17g,%.17g", column("charge_time_s"), \
  column("copper_mass_kg"))):(0) with table
unset table
set terminal svg
set output "front.svg"
plot "front.csv" using "charge_time_s":"loss_energy_J":"core_volume_m3" with points palette
END
  [ "$(grep -c '<use' front.svg)" -ge 60 ]
  "$BRIMVOLT" table front.csv --format csv --columns charge_time,copper_mass |
    tail -n +2 >kept
  [ "$(wc -l <kept)" -eq 60 ]
  sed 's/^[ \t]*//; s/,0$//; s/[\t ].*//' numbers | paste -d, - kept |
    awk -F, '$1 != $3 || $2 != $4 { bad = 1; print } END { exit bad }'
}
