# SPDX-License-Identifier: MIT
"""Checks of the page in a headless Chromium. Usage: page_checks.py PROGRAM
FOLDER; prints one line a check, ends with 1 at the first that fails."""
import csv
import io
import json
import os
import random
import re
import subprocess
import sys

from browser import Browser

KEPT = os.path.join(os.path.dirname(__file__),
                    "../../results/harbour-beacon/")
EVIL = "</script><script>document.title='bad'</script><img src=x onerror=x>"


def write_front(path, rows, count, title):
    """rows: a function of the number from 0 that gives the cells."""
    header = ["row", "core", "charge_time_s", "loss_energy_J", "turns",
              "clamp_voltage_V"]
    roles = ["id", "variable", "minimise", "minimise", "variable", "result"]
    with open(path, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows(i) for i in range(count))
    fields = []
    for name, role in zip(header, roles):
        field = {"name": name, "title": name, "role": role,
                 "type": "string" if name == "core" else "number"}
        if name[-2:] in ("_s", "_J", "_V"):
            field.update(title=name[:-2], unit=name[-1])
        if role == "result":
            field["limits"] = {"max": 300}
        fields.append(field)
    with open(path[:-4] + ".schema.json", "w") as file:
        json.dump({"fields": fields, "origin": {"title": title}}, file)


def write_near(front):
    """Two designs near a front of write_front, one of them beyond its axes."""
    with open(front[:-4] + ".schema.json") as file:
        schema = json.load(file)
    texts = [{"name": "near_" + n, "title": "near_" + n, "type": "string",
              "role": "result"} for n in ("limit", "allowed", "needed")]
    gain = [{"name": "near_gain_charge_time_%", "unit": "%", "type": "number",
             "title": "near_gain_charge_time", "role": "result"}]
    schema["fields"][1:1] = texts + gain
    with open(front[:-4] + ".near.schema.json", "w") as file:
        json.dump(schema, file)
    with open(front[:-4] + ".near.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(f["name"] for f in schema["fields"])
        told = ["clamp_voltage", "at most 300 V"]
        out.writerow([1, *told, "at most 303 V", 12.5, "E 32", 0.19, 0.03, 5,
                      303])
        out.writerow([2, *told, EVIL, "", "RM 10", 0.21, 0.9, 5, 310])


def ordinary(i):
    shuffled = random.Random(i)
    time = 0.2 + 0.05 * i
    return [i + 1, ("ETD29", "ETD34", "E 32")[i % 3], time, 0.01 / time,
            3 + i % 7, 300 - 40 * shuffled.random()]


class Checks:
    def __init__(self, program, folder):
        self.program, self.folder = program, folder
        self.browser = Browser()

    def page(self, name, rows, count, title="Test front", width=1200,
             height=900):
        front = os.path.join(self.folder, name + ".csv")
        page = os.path.join(self.folder, name + ".html")
        write_front(front, rows, count, title)
        subprocess.run([self.program, "page", front, "--output", page],
                       check=True)
        self.browser.size(width, height)
        self.browser.complaints.clear()
        self.seconds = self.browser.open(page)
        return front

    def status(self):
        return self.browser.evaluate(
            "document.getElementById('status').textContent")

    def ids(self):
        return self.browser.evaluate(
            "[...document.querySelectorAll('#rows tbody th')]"
            ".map(e => Number(e.textContent))")

    def click(self, selector):
        self.browser.evaluate("document.querySelector(%s).click()" %
                              json.dumps(selector))
        self.browser.settle()

    def quiet(self):
        assert not self.browser.complaints, self.browser.complaints

    def check_opens(self):
        self.page("opens", ordinary, 40)
        assert self.status() == \
            "40 of 40 rows kept, 0 chosen, no ranges set.", self.status()
        assert self.ids() == list(range(1, 41))
        self.quiet()

    def page_with(self, name, index, column, values):
        """The page of an ordinary front with one more column of results."""
        path = os.path.join(self.folder, name + ".csv")
        write_front(path, ordinary, 6, "More")
        with open(path, newline="") as file:
            rows = list(csv.reader(file))
        for row, cell in zip(rows, [column] + values):
            row.insert(index, cell)
        with open(path, "w", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows(rows)
        with open(path[:-4] + ".schema.json") as file:
            schema = json.load(file)
        kind = "string" if isinstance(values[0], str) else "number"
        schema["fields"].insert(index, {"name": column, "title": column,
                                        "role": "result", "type": kind})
        with open(path[:-4] + ".schema.json", "w") as file:
            json.dump(schema, file)
        page = path[:-4] + ".html"
        subprocess.run([self.program, "page", path, "--output", page],
                       check=True)
        self.browser.complaints.clear()
        self.browser.open(page)

    def heads(self):
        return self.browser.evaluate(
            "[...document.querySelectorAll('#rows thead th')]"
            ".map(e => e.textContent)")

    def check_the_case_of_a_row_is_shown(self):
        self.page_with("case", 1, "case", ["cold, dry", "hot"] * 3)
        heads = self.heads()
        names = [head.rstrip("↓↑ ") for head in heads]
        assert names.index("case") == names.index("core") - 1, names
        self.page_with("remark", 6, "remark", ["good", "bad"] * 3)
        assert "core" in self.heads() and self.heads()[-2] != "case"
        self.quiet()

    def check_the_caution_stands_where_energy_is_stored(self):
        self.page_with("stored", 6, "stored_energy", [37.0 + i for i in
                                                      range(6)])
        shown = "getComputedStyle(document.getElementById('caution')).display"
        assert self.browser.evaluate(shown) == "block"
        assert "can kill" in self.words(self.browser.pdf())
        self.page("no_energy", ordinary, 40)
        assert self.browser.evaluate(shown) == "none"
        self.quiet()

    def check_brush_keeps_a_range_in_every_view(self):
        self.page("brush", ordinary, 40)
        self.browser.drag("#pair", (0.3, 0.05), (0.6, 0.9))
        kept = self.ids()
        assert 5 < len(kept) < 20, kept
        assert kept == list(range(kept[0], kept[-1] + 1)), kept
        boxes = self.browser.evaluate(
            "[...document.querySelectorAll('#ranges .active legend')]"
            ".map(e => e.textContent)")
        assert boxes == ["charge_time [s]", "loss_energy [mJ]"], boxes
        self.browser.evaluate("document.getElementById('free').click()")
        self.browser.settle()
        assert len(self.ids()) == 40
        self.quiet()

    def check_axis_brush_takes_words(self):
        self.page("axis", ordinary, 40)
        names = self.browser.evaluate(
            "[...document.querySelectorAll('#ranges legend')]"
            ".map(e => e.textContent)")
        part = (54 + names.index("core") * (1136 - 108) / (len(names) - 1))
        self.browser.drag("#axes", (part / 1136, 0.9), (part / 1136, 0.5))
        typed = self.browser.evaluate(
            "document.querySelector('#ranges .active input').value")
        assert typed == "E 32, ETD29", typed
        assert self.ids() == [i + 1 for i in range(40) if i % 3 != 1], \
            self.ids()
        self.quiet()

    def check_keyboard_reaches_every_range(self):
        self.page("keyboard", ordinary, 40)
        self.browser.evaluate(
            "document.querySelector('[aria-label=\"charge_time [s] to\"]')"
            ".focus()")
        self.browser.type("0.4")
        assert self.ids() == [1, 2, 3, 4, 5], self.ids()
        self.browser.press("Tab")
        label = self.browser.evaluate(
            "document.activeElement.getAttribute('aria-label')")
        assert label == "loss_energy [mJ] from", label
        self.browser.type("40")
        assert self.ids() == [1, 2], self.ids()
        shown = self.browser.evaluate(
            "getComputedStyle(document.activeElement).outlineStyle")
        assert shown == "solid", shown
        self.quiet()

    def check_sorting_by_key(self):
        self.page("sort", ordinary, 40)
        self.browser.evaluate("document.getElementById('by turns').focus()")
        self.browser.press("Enter")
        self.browser.press("Enter")
        turns = self.browser.evaluate(
            "[...document.querySelectorAll('#rows tbody tr')]"
            ".map(e => Number(e.cells[6].textContent))")
        assert turns == sorted(turns, reverse=True) and turns[0] == 9, turns
        state = self.browser.evaluate(
            "document.getElementById('by turns').closest('th').ariaSort")
        assert state == "descending", state
        self.quiet()

    def check_choosing_comparing_saving(self):
        def endless(i):
            return ordinary(i)[:5] + ["INF" if i == 3 else 1.5]
        front = self.page("save", endless, 40)
        self.browser.evaluate("document.getElementById('row3').focus()")
        self.browser.press(" ")
        assert self.browser.evaluate("document.activeElement.id") == "row3"
        self.click("#row7")
        heads = self.browser.evaluate(
            "[...document.querySelectorAll('#compare > table thead th')]"
            ".map(e => e.textContent)")
        assert heads == ["quantity", "row 4", "row 8", "spread"], heads
        self.browser.evaluate(
            "window.saved = null; const make = URL.createObjectURL;"
            "URL.createObjectURL = b => { window.saved = b; return make(b); }")
        self.click("#save-chosen")
        text = self.browser.evaluate("window.saved.text()")
        with open(front, newline="") as file:
            rows = list(csv.reader(file))
        saved = list(csv.reader(io.StringIO(text)))
        assert saved[0] == rows[0], saved[0]
        for mine, theirs in zip(saved[1:], (rows[4], rows[8])):
            assert mine[1] == theirs[1] and mine[5] == theirs[5]
            assert [float(x) for x in mine[2:]] == \
                [float(x) for x in theirs[2:]], (mine, theirs)
        self.quiet()

    def check_what_is_the_same_in_all_is_folded_away(self):
        self.page("fold", lambda i: ordinary(i)[:4] + [7, 290 - i], 40)
        self.click("#row3")
        lines = ("[...document.querySelectorAll('#compare %s tbody th')]"
                 ".map(e => e.textContent)")
        assert len(self.browser.evaluate(lines % "")) == 5
        self.click("#row7")
        assert self.browser.evaluate(lines % "> table") == [
            "charge_time [s]", "loss_energy [mJ]", "core",
            "clamp_voltage [V]"], self.browser.evaluate(lines % "> table")
        assert self.browser.evaluate(lines % "#same") == ["turns"]
        shown = "document.getElementById('same').open"
        assert self.browser.evaluate(shown) is False
        self.browser.evaluate("document.querySelector('#same summary').focus()")
        self.browser.press("Enter")
        assert self.browser.evaluate(shown) is True
        self.click("#row9")
        assert self.browser.evaluate(shown) is True
        self.quiet()

    def pixels(self, canvas, name):
        """How many pixels of a canvas have a colour of the style sheet."""
        return self.browser.evaluate("""(() => {
          const c = document.getElementById(%s), pen = c.getContext("2d");
          const { data } = pen.getImageData(0, 0, c.width, c.height);
          const hex = getComputedStyle(document.documentElement)
            .getPropertyValue(%s).trim();
          const [r, g, b] = [1, 3, 5].map(i => parseInt(hex.substr(i, 2), 16));
          let n = 0;
          for (let i = 0; i < data.length; i += 4)
            n += data[i] === r && data[i + 1] === g && data[i + 2] === b;
          return n; })()""" % (json.dumps(canvas), json.dumps("--" + name)))

    def check_designs_near_the_front_are_marked_and_listed(self):
        front = self.page("near", ordinary, 40)
        hidden = "document.getElementById('near-part').hidden"
        assert self.browser.evaluate(hidden) is True
        assert self.pixels("pair", "near") == 0
        write_near(front)
        page = front[:-4] + ".html"
        subprocess.run([self.program, "page", front, "--output", page],
                       check=True)
        self.browser.open(page)
        assert self.browser.evaluate(hidden) is False
        assert self.pixels("pair", "near") > 40, self.pixels("pair", "near")
        assert self.browser.evaluate(
            "[...document.querySelectorAll('#near tbody tr')]"
            ".map(e => [...e.cells].map(c => c.innerText))") == [
                ["△ 1", "clamp_voltage", "at most 300 V", "at most 303 V",
                 "0.190\n13 % better", "30.00\n–"],
                ["△ 2", "clamp_voltage", "at most 300 V", EVIL, "0.210\n–",
                 "900.00\n–"]]
        assert self.browser.evaluate("document.images.length") == 0
        assert self.ids() == list(range(1, 41))
        self.quiet()

    def open_near(self, name, change_field, change_text):
        """The page of a front whose last limit was changed in its sidecars and
        its near designs; returns the words beside these."""
        front = self.page(name, lambda i: ordinary(i)[:5] + [0.29], 4)
        write_near(front)
        for ending in ".schema.json", ".near.schema.json":
            with open(front[:-4] + ending) as file:
                schema = json.load(file)
            change_field(schema["fields"][-1])
            with open(front[:-4] + ending, "w") as file:
                json.dump(schema, file)
        with open(front[:-4] + ".near.csv") as file:
            text = change_text(file.read())
        with open(front[:-4] + ".near.csv", "w") as file:
            file.write(text)
        page = front[:-4] + ".html"
        subprocess.run([self.program, "page", front, "--output", page],
                       check=True)
        self.browser.open(page)
        return self.browser.evaluate(
            "[...document.querySelectorAll('#near tbody .text')]"
            ".map(e => e.textContent)")

    def check_bounds_near_the_front_have_the_unit_of_the_limits(self):
        cells = self.open_near(
            "units", lambda field: field.update(limits={"max": 0.3}),
            lambda text: text.replace("most 300", "most 0.3")
            .replace(",303", ",0.303").replace("most 303", "most 0.303")
            .replace(",310", ",0.31"))
        assert cells == ["clamp_voltage", "at most 300 mV", "at most 303 mV",
                         "clamp_voltage", "at most 300 mV", EVIL], cells
        limit = self.browser.evaluate(
            "document.querySelector('#limits tbody td').textContent")
        assert limit == "≤ 300 mV", limit
        heads = {name: self.browser.evaluate(
            "[...document.querySelectorAll('%s thead th')].map(e => "
            "e.textContent.replace(/[ ▲▼\\[\\]]/g, '')).find(t => "
            "t.startsWith('loss_energy'))" % name) for name in ("#near", "#rows")}
        assert heads["#near"] == heads["#rows"] == "loss_energymJ", heads
        self.quiet()

    def check_a_bound_the_script_computes_has_the_unit_shown(self):
        cells = self.open_near(
            "computed", lambda field: field.pop("limits"),
            lambda text: text.replace("at most 300 V", "at most what the "
                                      "script computes").replace("303", "0.303"))
        assert cells[1:3] == ["at most what the script computes",
                              "at most 303 mV"], cells
        self.quiet()

    def check_a_computed_bound_is_a_limit(self):
        front = self.page("bounds", ordinary, 6)
        with open(front[:-4] + ".schema.json") as file:
            schema = json.load(file)
        del schema["fields"][-1]["limits"]
        for same in True, False:
            with open(front) as file:
                lines = file.read().splitlines()
            name = "limit_max_clamp_voltage"
            lines = [lines[0] + "," + name + "_V"] + [
                line + ",%d" % (400 if same else 400 + i)
                for i, line in enumerate(lines[1:])] if same else [
                line.replace(",400", ",40%d" % i) for i, line in enumerate(lines)]
            with open(front, "w") as file:
                file.write("\n".join(lines) + "\n")
            if same:
                schema["fields"].append(
                    {"name": name + "_V", "title": name, "unit": "V",
                     "role": "result", "type": "number"})
            with open(front[:-4] + ".schema.json", "w") as file:
                json.dump(schema, file)
            page = front[:-4] + ".html"
            subprocess.run([self.program, "page", front, "--output", page],
                           check=True)
            self.browser.open(page)
            cells = self.browser.evaluate(
                "[...document.querySelectorAll('#limits tbody tr')]"
                ".map(e => [...e.cells].map(c => c.textContent))")
            assert len(cells) == 1 and cells[0][0] == "clamp_voltage", cells
            assert cells[0][1] == ("≤ 400 V" if same else "≤ computed"), cells
            assert cells[0][2].endswith(" %"), cells
            assert "clamp_voltage" in self.browser.evaluate(
                "document.querySelector('#rows tbody tr').lastChild.textContent")
        self.quiet()

    def check_hostile_texts_do_nothing(self):
        self.page("evil", lambda i: [i + 1, EVIL + str(i), 1 + i, 9 - i, i, i],
                  5, EVIL)
        assert self.browser.evaluate("document.title") == EVIL
        assert self.browser.evaluate(
            "document.querySelector('h1').textContent") == EVIL
        assert self.browser.evaluate("document.images.length") == 0
        assert self.browser.evaluate("document.scripts.length") == 2
        refused = self.browser.evaluate(
            "(() => { const s = document.createElement('script');"
            "s.textContent = 'window.ran = 1'; document.body.append(s);"
            "return window.ran === undefined; })()")
        assert refused, "the policy let another script run"

    def check_one_row_shows_what_it_is(self):
        self.page("single", ordinary, 1)
        names = self.browser.evaluate(
            "[...document.querySelectorAll('#across option')]"
            ".map(e => e.textContent)")
        assert names[:2] == ["charge_time [ms]", "loss_energy [mJ]"], names
        cells = self.browser.evaluate(
            "[...document.querySelectorAll('#rows tbody td')]"
            ".map(e => e.textContent)")
        assert "200" in cells and "50.0" in cells and "ETD29" in cells, cells
        self.quiet()

    def check_an_objective_that_is_the_same_in_all_is_shown(self):
        self.page("constant", lambda i: ordinary(i)[:2] + [0.2, 0.01, 4 + i,
                                                           200], 3)
        heads = " ".join(self.heads())
        assert "charge_time" in heads and "loss_energy" in heads, heads
        assert "clamp_voltage" not in heads, heads
        self.quiet()

    def check_marks_of_many_decades_stand_apart(self):
        self.page("decades", lambda i: ordinary(i)[:2] + [
            10.0 ** (-11 + i), 10.0 - i, 4, 5], 10)
        self.browser.evaluate("""
          window.written = [];
          const pen = CanvasRenderingContext2D.prototype, fill = pen.fillText;
          pen.fillText = function (text, x, y, most) {
            if (this.canvas.id === "pair") written.push([text, y]);
            return fill.call(this, text, x, y, most);
          };
          document.getElementById("up").selectedIndex = 0;
          document.getElementById("up").onchange();""")
        self.browser.settle()
        marks = self.browser.evaluate(
            "written.filter(([t, y]) => /^[0-9]/.test(t)).map(([t]) => t)")
        assert len(marks) > 3 and max(map(len, marks)) <= 6, marks
        self.quiet()

    def check_ten_thousand_rows(self):
        def big(i):
            shuffled = random.Random(i)
            a, b = shuffled.random(), shuffled.random()
            return [i + 1, "ETD%d" % (29 + i % 9), 0.2 + a,
                    (1 - a) ** 2 + b + 0.01, i % 50, 200 * b]
        self.page("big", big, 10000)
        assert self.seconds < 10, self.seconds
        spent = self.browser.evaluate(
            "(async () => { const t = performance.now();"
            "document.getElementById('by charge_time').click();"
            "await new Promise(f => requestAnimationFrame("
            "() => setTimeout(f, 0))); return performance.now() - t; })()")
        assert spent < 3000, spent
        print("  10 000 rows: open %.2f s, sort and draw %.0f ms" %
              (self.seconds, spent))
        self.quiet()

    def check_a_narrow_window_has_no_sideways_scroll(self):
        self.page("narrow", ordinary, 40, "A title that is rather long", 400,
                  800)
        wide = self.browser.evaluate("document.documentElement.scrollWidth")
        assert wide <= 400, wide
        self.quiet()

    def check_a_sheet_fits_a_narrow_window(self):
        self.browser.size(400, 800)
        self.browser.open(KEPT + "sheet.html")
        wide = self.browser.evaluate("document.documentElement.scrollWidth")
        assert wide <= 400, wide

    def check_prints(self):
        self.page("print", ordinary, 40, "Printed title")
        words = self.words(self.browser.pdf())
        first = words.split("\f")[0]
        assert "Two quantities" in first and "Limits" in first, first
        for word in ("Printed title", "charge_time", "ETD34", "loss_energy"):
            assert word in words, word
        assert words.count("\f") <= 4, words.count("\f")
        self.quiet()

    def check_every_printed_page_of_rows_is_headed(self):
        self.page("long", ordinary, 120)
        pages = self.words(self.browser.pdf()).split("\f")
        rows = [p for p in pages if p.count("clamp_voltage ") > 3]
        assert len(rows) > 1, len(rows)
        for page in rows:
            for word in ("choose", "energy", "turns", "nearest limit"):
                assert word in page, (word, page)
        text = "".join(pages)
        assert "1 to 50 of 120" in text, text
        assert "press on a heading" not in text, text
        assert "Chosen rows" not in text, text
        self.click("#rows input")
        assert "Chosen rows" in self.words(self.browser.pdf())

    def check_prints_on_a4(self):
        self.page("paper", ordinary, 3)
        box = re.search(rb"/MediaBox \[0 0 (\S+) (\S+)\]", self.browser.pdf())
        width, height = (float(side) / 72 * 25.4 for side in box.groups())
        assert abs(width - 210) < 1 and abs(height - 297) < 1, (width, height)

    def words(self, pdf):
        assert pdf[:5] == b"%PDF-" and len(pdf) > 20000, len(pdf)
        return subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf,
                              check=True, capture_output=True).stdout.decode()


def main():
    checks = Checks(*sys.argv[1:3])
    try:
        for name in sorted(n for n in dir(checks) if n.startswith("check_")):
            getattr(checks, name)()
            print(name)
    finally:
        checks.browser.close()


main()
