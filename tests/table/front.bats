#!/usr/bin/env bats
# SPDX-License-Identifier: MIT
# Fronts and what other readers of CSV and JSON make of them.

setup() {
  command -v python3 >/dev/null || skip "needs python3"
  cd "$BATS_TEST_TMPDIR"
  python3 - <<'END'
import csv, random, struct
random.seed(7)
texts = ["plain", 'a, "b"', "two\nlines", "=1+1", " blanks ", "\u00b5\u221e"]
with open("front.csv", "w", newline="", encoding="utf-8") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["row", "text", "a_s", "b_m3"])
    for i in range(500):
        bits = struct.unpack("d", random.randbytes(8))[0]
        a = bits if bits == bits and abs(bits) != float("inf") else 0.1
        out.writerow([i + 1, texts[i % 6], repr(a), repr(random.random())])
END
}

@test "python's csv reads the same doubles and texts from the table's CSV" {
  "$BRIMVOLT" table front.csv --format csv >again.csv
  python3 - <<'END'
import csv, struct
bits = lambda text: struct.pack("d", float(text))
mine, theirs = (list(csv.reader(open(name, newline="", encoding="utf-8")))
                for name in ("again.csv", "front.csv"))
assert mine[0] == theirs[0] and len(mine) == len(theirs) == 501
for x, y in zip(mine[1:], theirs[1:]):
    assert x[1] == y[1] and [bits(n) for n in x[2:]] == [bits(n) for n in y[2:]], (x, y)
END
}

@test "python's json reads the same doubles and texts from the table's JSON" {
  "$BRIMVOLT" table front.csv --format json >again.json
  python3 - <<'END'
import csv, json
mine = json.load(open("again.json", encoding="utf-8"))
theirs = list(csv.DictReader(open("front.csv", newline="", encoding="utf-8")))
assert len(mine) == len(theirs) == 500
for x, y in zip(mine, theirs):
    assert x["text"] == y["text"] and x["a_s"] == float(y["a_s"]) and x["b_m3"] == float(y["b_m3"])
END
}
