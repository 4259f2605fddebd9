# SPDX-License-Identifier: MIT
# Shared by the tests of the example studies.

example() { "$BRIMVOLT" search "$ROOT/scripts/$1.lua" --output "$1.csv" --quiet "${@:2}"; }

# values NAME COLUMN…: rows of these columns, without the header
values() { "$BRIMVOLT" table "$1.csv" --format csv --columns "$2" | tail -n +2; }

# row_where NAME COLUMNS AWK-CONDITION: there is a row for which it holds
row_where() { values "$1" "$2" | awk -F, "$3 { found = 1 } END { exit !found }"; }
