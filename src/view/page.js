"use strict";
(() => {
const $ = id => document.getElementById(id);
const data = JSON.parse($("front").textContent);
const { columns, count } = data, near = data.near || { count: 0, columns: [] };
const PAGE = 50, LINES = 3000, DOTS = 2000;
const isAim = c => c.role === "minimise" || c.role === "maximise";
const isLimited = c => !c.text && ["min", "max"].some(key => c[key] !== null || c.computed[key]);

/* A tag with properties or attributes and children; texts are never markup. */
const make = (tag, attributes, ...children) => {
  const e = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes || {}))
    key in e ? e[key] = value : e.setAttribute(key, value);
  e.append(...children);
  return e;
};
/* A name that may break after its underscores. */
const soft = name => make("span", {}, ...name.split(/(?<=_)/).flatMap(t => [make("wbr"), t]));
const side = left => left ? "text" : "";
const table = (caption, heads, lines) => make("table", {},
  make("caption", {}, make("span", {}, ...[caption].flat())),
  make("thead", {}, make("tr", {}, ...heads)), make("tbody", {}, ...lines));
const head = (text, left) =>
  make("th", { scope: "col", className: side(left) }, text);
const rowHead = text =>
  make("th", { scope: "row", className: "text" }, soft(text));

/* Columns hold values in the file's unit; `size` is the unit shown. */
for (const c of [...columns, ...near.columns])
  c.at = c.values ? r => c.values[r] : () => c.same;
for (const c of columns) {
  c.near = near.columns.find(n => n.header === c.header);
  c.label = c.name + (c.unit ? " [" + c.unit + "]" : "");
  /* Columns of bounds that the script computed for each row. */
  c.computed = { min: null, max: null };
  for (const key of ["min", "max"])
    c.computed[key] = columns.find(d => d.name === "limit_" + key + "_" + c.name) || null;
  let lo = Infinity, hi = -Infinity;
  if (c.text) {
    const seen = new Set();
    for (let r = 0; r < count; r++) seen.add(c.at(r) ?? "");
    c.words = [...seen].sort(new Intl.Collator("en", { numeric: true }).compare);
    const index = new Map(c.words.map((w, i) => [w, i]));
    c.number = r => index.get(c.at(r) ?? "");
    c.nearNumber = n => c.near ? index.get(c.near.at(n) ?? "") : NaN;
    c.lo = -.5, c.hi = (c.words.length || 1) - .5;
    continue;
  }
  c.number = r => c.at(r) ?? NaN;
  c.nearNumber = n => c.near ? c.near.at(n) ?? NaN : NaN;
  const span = v => {
    if (v < lo && v > -Infinity) lo = v;
    if (v > hi && v < Infinity) hi = v;
  };
  for (let r = 0; r < count; r++) span(c.number(r));
  for (let n = 0; n < near.count; n++) span(c.nearNumber(n));
  if (lo > hi) lo = 0, hi = 1;
  c.most = Math.max(Math.abs(lo), Math.abs(hi)) || 1;
  c.log = lo > 0 && hi / lo > 100;
  const pad = hi > lo ? (hi - lo) * .03 : c.most * .1;
  c.ends = [lo, hi];
  c.lo = c.log ? lo / 1.1 : lo - pad;
  c.hi = c.log ? hi * 1.1 : hi + pad;
}
const place = (c, v) => c.log ? Math.log(v / c.lo) / Math.log(c.hi / c.lo)
                              : (v - c.lo) / (c.hi - c.lo);
const unplace = (c, t) => c.log ? c.lo * (c.hi / c.lo) ** t
                                : c.lo + t * (c.hi - c.lo);
const scaled = (c, v) => c.size < 1 ? v * Math.round(1 / c.size) : v / c.size;
const plain = v => v && Math.abs(v) < 1e-4 ? v.toExponential() : String(v);
const short = (c, v, digits = 3) => plain(Number(scaled(c, v).toPrecision(digits)));
const show = (c, v) => v === null ? "–" : c.text ? v
  : c.decimals < 0 ? short(c, v) : scaled(c, v).toFixed(c.decimals);
const percent = m => (100 * m).toFixed(Math.abs(m) < .1 ? 1 : 0).replace(/^-0\.0$/, "0.0") + " %";
const idColumn = columns.find(c => c.role === "id");
const id = r => idColumn ? idColumn.at(r) : r + 1;

/* Room to a limit, as a part of it; of the largest value where it is 0. */
const room = (c, key, r) => {
  const v = c.at(r), limit = c[key] ?? c.computed[key]?.at(r) ?? null;
  return v === null || limit === null ? Infinity
    : (key === "max" ? limit - v : v - limit) / (Math.abs(limit) || c.most);
};
const margin = (c, r) => Math.min(room(c, "min", r), room(c, "max", r));
const limited = columns.filter(isLimited);
const nearest = r => {
  let name = "–", least = Infinity;
  for (const c of limited) {
    const m = margin(c, r);
    if (m < least) least = m, name = c.name + " " + percent(m);
  }
  return { name, least };
};
const binds = m => m < .01 ? " binds" : "";

/* What the reader has set. */
const ranges = new Map(), chosen = new Set(), knees = new Set(data.knees);
const kept = new Uint8Array(count);
/* A word right behind the row's number tells where it comes from. */
const isSource = c => c.text && idColumn === columns[0] &&
  columns.slice(1, columns.indexOf(c) + 1).every(d => d.role === "result");
const rank = c => c.role === "id" ? 0 : isAim(c) ? 1 : isSource(c) ? 2
  : c.role === "variable" ? 3 : isLimited(c) ? 4 : 5;
/* What is the same in all rows tells nothing, but for what it is all about. */
const tells = c => c.values || isAim(c) || count < 2;
const ordered = [...columns].sort((a, b) => rank(a) - rank(b))
  .filter(c => tells(c) && c.role !== "id");
const shown = new Set(ordered.slice(0, 9));
const pair = { across: ordered[0] || columns[0], up: ordered[1] || columns[0] };
let foldOpen = false, sorted = { by: null, falling: false }, page = 0, order = [];

const passes = (c, range, r) => range.words
  ? range.words.some(w => (c.at(r) ?? "").toLowerCase().includes(w))
  : c.number(r) >= range.lo && c.number(r) <= range.hi;
const keys = { chosen: r => !chosen.has(r), knee: r => !knees.has(r),
               limit: r => nearest(r).least, row: id };
const arrange = () => {
  kept.fill(1);
  for (const [c, range] of ranges)
    for (let r = 0; r < count; r++) kept[r] &= passes(c, range, r);
  order = [];
  for (let r = 0; r < count; r++) if (kept[r]) order.push(r);
  if (!sorted.by) return;
  const key = keys[sorted.by] || sorted.by.number, sign = sorted.falling ? -1 : 1;
  const values = new Map(order.map(r => [r, Number(key(r))]));
  order.sort((a, b) => {
    const x = values.get(a), y = values.get(b);
    return isNaN(x) - isNaN(y) || sign * (x - y) || a - b;
  });
};

/* Sets or frees a range: {lo, hi} in the file's unit, or {words, typed}. */
const setRange = (c, range) => {
  if (range) ranges.set(c, range); else ranges.delete(c);
  page = 0;
  fillBoxes(c);
  refresh();
};
const brush = (c, a, b) => {
  const lo = Math.min(a, b), hi = Math.max(a, b);
  if (!c.text) return setRange(c, { lo, hi });
  const words = c.words.filter((w, i) => i >= lo && i <= hi);
  setRange(c, words.length ? { words: words.map(w => w.toLowerCase()),
                               typed: words.join(", "), lo, hi } : null);
};

/* Drawing. */
const colour = name =>
  getComputedStyle(document.documentElement).getPropertyValue("--" + name);
const prepare = canvas => {
  const ratio = window.devicePixelRatio || 1;
  const width = canvas.clientWidth, height = canvas.clientHeight;
  canvas.width = width * ratio;
  canvas.height = height * ratio;
  const pen = canvas.getContext("2d");
  pen.scale(ratio, ratio);
  pen.font = "12px system-ui, sans-serif";
  const ink = (name, thick, dash = []) => {
    pen.strokeStyle = pen.fillStyle = colour(name);
    pen.lineWidth = thick;
    pen.setLineDash(dash);
  };
  const line = (...points) => {
    pen.beginPath();
    for (let i = 0; i < points.length; i += 2) pen.lineTo(points[i], points[i + 1]);
    pen.stroke();
  };
  const write = (text, x, y, align = "center", most = width) => {
    pen.textAlign = align;
    pen.fillText(text, x, y, most);
  };
  return { pen, width, height, ink, line, write };
};
const ticks = (c, most) => {
  if (c.text) return c.words.map((w, i) => [i, w || "–"]);
  const lo = scaled(c, c.lo), hi = scaled(c, c.hi), list = [];
  const add = v => list.push([v * c.size, plain(Number(v.toPrecision(6)))]);
  if (c.log) {
    const decades = Math.log10(hi / lo), each = Math.ceil(decades / most);
    for (let e = each * Math.floor(Math.max(-324, Math.log10(lo)) / each); e <= Math.log10(hi); e += each)
      for (const v of 2 * decades > most ? [10 ** e] : [10 ** e, 3 * 10 ** e])
        if (v >= lo && v <= hi) add(v);
    return list;
  }
  const raw = (hi - lo) / most, ten = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map(s => s * ten).find(s => s >= raw);
  for (let k = Math.ceil(lo / step); k * step <= hi; k++) add(k * step);
  return list;
};
const limitsOf = c => [c.min, c.max].filter(v => v !== null && v >= c.lo && v <= c.hi);
const inner = { left: 62, top: 10, right: 14, bottom: 44 };
const pairPlace = () => {
  const w = $("pair").clientWidth - inner.left - inner.right;
  const h = $("pair").clientHeight - inner.top - inner.bottom;
  return { w, h, X: v => inner.left + place(pair.across, v) * w,
           Y: v => inner.top + (1 - place(pair.up, v)) * h,
           x: p => unplace(pair.across, (p - inner.left) / w),
           y: p => unplace(pair.up, 1 - (p - inner.top) / h) };
};
const drawPair = drag => {
  const { pen, width, height, ink, line, write } = prepare($("pair"));
  const { across, up } = pair, { w, h, X, Y } = pairPlace();
  const right = inner.left + w, low = inner.top + h;
  let last = -Infinity;
  for (const [v, text] of ticks(across, Math.max(2, w / 90))) {
    const x = X(v), half = pen.measureText(text).width / 2;
    ink("line", 1);
    line(x, inner.top, x, low);
    ink("soft", 1);
    if (x - half < last || x + half > width) continue;
    write(text, x, low + 16);
    last = x + half + 6;
  }
  last = Infinity;
  for (const [v, text] of ticks(up, Math.max(2, h / 60))) {
    const y = Y(v);
    ink("line", 1);
    line(inner.left, y, right, y);
    ink("soft", 1);
    if (y > last - 12) continue;
    write(text, inner.left - 6, y + 4, "right", inner.left - 22);
    last = y;
  }
  ink("text", 1);
  write(across.label, inner.left + w / 2, height - 8, "center", w);
  pen.save();
  pen.translate(12, inner.top + h / 2);
  pen.rotate(-Math.PI / 2);
  write(up.label, 0, 0, "center", h);
  pen.restore();
  ink("limit", 1.5, [6, 4]);
  for (const v of limitsOf(across)) line(X(v), inner.top, X(v), low);
  for (const v of limitsOf(up)) line(inner.left, Y(v), right, Y(v));
  const at = r => [X(across.number(r)), Y(up.number(r))];
  const dot = (r, s) => {
    const [x, y] = at(r);
    if (count > DOTS) return pen.fillRect(x - s, y - s, 2 * s, 2 * s);
    pen.beginPath();
    pen.arc(x, y, s, 0, 7);
    pen.fill();
  };
  ink("out", 1);
  for (let r = 0; r < count; r++) if (!kept[r]) dot(r, 1.5);
  ink("mark", 1);
  for (const r of order) dot(r, count > DOTS ? 1.5 : 3.5);
  ink("knee", 1);
  for (const r of knees) {
    if (!kept[r]) continue;
    const [x, y] = at(r);
    pen.beginPath();
    for (const [i, j] of [[0, -7], [7, 0], [0, 7], [-7, 0]]) pen.lineTo(x + i, y + j);
    pen.fill();
  }
  ink("near", 1.5);
  for (let n = 0; n < near.count; n++) {
    const x = X(across.nearNumber(n)), y = Y(up.nearNumber(n));
    line(x - 6, y + 4, x, y - 7, x + 6, y + 4, x - 6, y + 4);
  }
  for (const r of chosen) {
    const [x, y] = at(r), text = String(id(r)), flip = x > right - 40;
    ink("pick", 2.5);
    pen.beginPath();
    pen.arc(x, y, 7.5, 0, 7);
    pen.stroke();
    ink("text", 1);
    write(text, flip ? x - 11 : x + 11, y - 6, flip ? "right" : "left");
  }
  if (drag) pen.strokeRect(drag.x0, drag.y0, drag.x1 - drag.x0, drag.y1 - drag.y0);
};

const rail = { top: 66, bottom: 22, side: 54 };
const deep = () => $("axes").clientHeight - rail.top - rail.bottom;
const axisX = i => {
  const n = shown.size, width = $("axes").clientWidth;
  return n < 2 ? width / 2 : rail.side + i * (width - 2 * rail.side) / (n - 1);
};
const drawAxes = drag => {
  const list = [...shown], all = $("axes"), low = rail.top + deep();
  all.style.minWidth = Math.max(1, list.length) * 92 + "px";
  const { pen, ink, line, write } = prepare(all);
  const Y = (c, v) => low - place(c, v) * deep();
  const trace = r => line(...list.flatMap((c, i) => {
    const y = Y(c, c.number(r));
    return Number.isFinite(y) ? [axisX(i), y] : [];
  }));
  const step = Math.max(1, Math.ceil(count / LINES));
  $("thinned").textContent = step > 1
    ? "One row of " + step + " is drawn; filters, table and scatter have all." : "";
  ink("out", 1);
  pen.globalAlpha = .3;
  for (let r = 0; r < count; r += step) if (!kept[r]) trace(r);
  ink("mark", 1);
  pen.globalAlpha = order.length > 300 ? .35 : .7;
  const few = Math.max(1, Math.ceil(order.length / LINES));
  for (let k = 0; k < order.length; k += few) trace(order[k]);
  pen.globalAlpha = 1;
  ink("knee", 2, [8, 4]);
  for (const r of knees) if (kept[r]) trace(r);
  ink("pick", 2.5);
  for (const r of chosen) trace(r);
  list.forEach((c, i) => {
    const x = axisX(i), range = drag && drag.column === c ? drag : ranges.get(c);
    ink("text", 1);
    line(x, rail.top, x, low);
    if (range && "lo" in range) {
      const [a, b] = [range.lo, range.hi].map(v => Math.max(0, Math.min(1, place(c, v) || 0)));
      ink("text", 1.5);
      pen.strokeRect(x - 7, low - b * deep(), 14, Math.max(2, (b - a) * deep()));
    }
    const lines = [""];
    for (const part of c.name.split(/(?<=_)/))
      if ((lines.at(-1) + part).length > 14) lines.push(part);
      else lines[lines.length - 1] += part;
    const better = { minimise: " ↓ better", maximise: " ↑ better" }[c.role] || "";
    if (c.unit || better) lines.push(c.unit + better);
    lines.filter(t => t).slice(-4).reverse()
      .forEach((t, k) => write(t.length > 17 ? t.slice(0, 16) + "…" : t, x, rail.top - 20 - 13 * k, "center", 90));
    const ends = c.text ? [c.words[0], c.words.at(-1)] : c.ends.map(v => short(c, v));
    ink("soft", 1);
    write(ends[1] || "–", x, rail.top - 5, "center", 88);
    write(ends[0] || "–", x, low + 15, "center", 88);
    ink("limit", 3);
    for (const v of limitsOf(c)) line(x - 9, Y(c, v), x + 9, Y(c, v));
  });
};

/* Tables. */
const sortHead = (text, unit, by, left) => {
  const state = sorted.by !== by ? "none" : sorted.falling ? "descending" : "ascending";
  const press = () => {
    sorted = { by, falling: sorted.by === by && !sorted.falling };
    page = 0;
    refresh();
  };
  const arrow = { none: "", ascending: " ▲", descending: " ▼" }[state];
  return make("th", { scope: "col", "aria-sort": state, className: side(left) },
    make("button", { type: "button", onclick: press, id: "by " + text }, soft(text), arrow),
    make("small", {}, unit));
};
const choose = r => {
  if (!chosen.delete(r)) chosen.add(r);
  refresh();
};
const rowLine = r => {
  const n = nearest(r);
  return make("tr", { className: chosen.has(r) ? "chosen" : "" },
    make("td", { className: "text" }, make("input", { type: "checkbox", id: "row" + r,
      checked: chosen.has(r), onchange: () => choose(r), "aria-label": "choose row " + id(r) })),
    make("th", { scope: "row" }, String(id(r))),
    make("td", { className: "text" }, knees.has(r) ? "◆ knee" : ""),
    ...[...shown].map(c => make("td", { className: side(c.text) }, show(c, c.at(r)))),
    make("td", { className: "text" + binds(n.least) }, n.name));
};
const drawRows = () => {
  const focused = document.activeElement.id, start = page * PAGE;
  const last = Math.min(order.length, start + PAGE);
  $("rows").replaceChildren(table(
    ["Kept rows" + (last ? " " + (start + 1) + " to " + last + " of " + order.length : ""),
     make("span", { className: "hint" }, "; a press on a heading sorts"), "."],
    [sortHead("choose", "", "chosen", true), sortHead("row", "", "row"),
     sortHead("mark", "", "knee", true),
     ...[...shown].map(c => sortHead(c.name, c.unit, c, c.text)),
     sortHead("nearest limit", "", "limit", true)],
    order.slice(start, last).map(rowLine)));
  if (focused) $(focused)?.focus();
  $("where").textContent = last ? "rows " + (start + 1) + " to " + last + " of " + order.length : "no rows";
  $("earlier").disabled = page === 0;
  $("later").disabled = last === order.length;
  $("save-kept").disabled = last === 0;
};
const drawLimits = () => {
  const lines = [];
  for (const c of limited)
    for (const key of ["min", "max"]) {
      if (c[key] === null && !c.computed[key]) continue;
      const shared = c[key] ?? (c.computed[key].values ? null : c.computed[key].same);
      let least = Infinity, at = -1, bound = 0;
      for (const r of order) {
        const m = room(c, key, r);
        if (m < .01) bound++;
        if (m < least) least = m, at = r;
      }
      lines.push(make("tr", {}, rowHead(c.name),
        make("td", {}, (key === "max" ? "≤ " : "≥ ") +
          (shared === null ? "computed" : short(c, shared) + " " + c.unit)),
        make("td", { className: binds(least) }, at < 0 ? "–" : percent(least)),
        make("td", {}, at < 0 ? "–" : String(id(at))), make("td", {}, String(bound))));
    }
  $("limits").replaceChildren(lines.length ? table(
    "Least room of the kept rows, as a part of the limit, in which row, and how many rows have less than 1 %.",
    [head("quantity", true), head("limit"), head("room"), head("row"), head("bound")], lines)
    : "The study sets no limits.");
};
const drawNear = () => {
  if (!near.count) return;
  $("near-key").hidden = $("near-part").hidden = false;
  const of = name => near.columns.find(c => c.name === name) || { at: () => "" };
  const texts = ["limit", "allowed", "needed"].map(t => of("near_" + t));
  /* "at most 0.002 m", a bound in the file's unit, in the one shown. */
  const shownAs = (text, n) => {
    const c = columns.find(d => d.name === texts[0].at(n)), [, side, number] =
      /^(at (?:most|least)) (\S+)/.exec(text) || [];
    return c && Number.isFinite(Number(number))
      ? [side, short(c, Number(number), 6), c.unit].join(" ").trim() : text;
  };
  const aims = columns.filter(c => isAim(c) && c.near);
  const cell = (c, n) => {
    const gain = of("near_gain_" + c.name).at(n);
    return make("td", {}, show(c, c.near.at(n) ?? null),
      make("small", {}, typeof gain === "number" ? percent(gain / 100) + " better" : "–"));
  };
  $("near").replaceChildren(table("Designs that miss one limit alone. In small type: by how much one " +
      "is better than all rows of the front that are no worse in the other objectives (–: there are none).",
    [head("design"), head("limit", true), head("allowed", true), head("would have to be", true),
     ...aims.map(c => head(c.name + (c.unit ? " [" + c.unit + "]" : "")))],
    Array.from({ length: near.count }, (_, n) => make("tr", {},
      make("th", { scope: "row" }, "△ " + (n + 1)),
      ...texts.map(c => make("td", { className: "text" }, shownAs(c.at(n) ?? "", n))),
      ...aims.map(c => cell(c, n))))));
};
const spread = (c, rows) => {
  const v = rows.map(r => c.at(r));
  if (v.every(w => w === v[0])) return 0;
  if (c.text) return Infinity;
  const most = Math.max(...v.map(Math.abs));
  return v.includes(null) || !most ? 1 : (Math.max(...v) - Math.min(...v)) / most;
};
const drawCompare = () => {
  const rows = [...chosen];
  $("save-chosen").disabled = $("forget").disabled = !rows.length;
  if (!rows.length)
    return $("compare").replaceChildren("Choose rows in the table or by a click on a mark.");
  const lines = columns.filter(c => c !== idColumn).map(c => [c, spread(c, rows)]);
  lines.sort(([a, x], [b, y]) => (y > 0) - (x > 0) || isAim(b) - isAim(a) || (x === y ? 0 : y - x));
  const lined = (caption, part) => table(caption,
    [head("quantity", true), ...rows.map(r => head("row " + id(r))), head("spread")],
    part.map(([c, s]) => make("tr", { title: c.meaning || "" },
      rowHead(c.label), ...rows.map(r => cell(c, r)),
      make("td", {}, s > 0 && s < Infinity ? percent(s) : ""))));
  const cell = (c, r) => {
    const m = isLimited(c) ? margin(c, r) : Infinity;
    return make("td", { className: binds(m) }, show(c, c.at(r)),
      m < Infinity ? make("small", {}, percent(m) + " room") : "");
  };
  if (rows.length === 1)
    return $("compare").replaceChildren(lined("All of one row; choose another to compare.", lines));
  const same = lines.filter(([, s]) => !s), fold = make("details", { id: "same", open: foldOpen,
    ontoggle: e => { foldOpen = e.target.open; } },
    make("summary", {}, same.length + " quantities are the same in all"), lined("What is the same in all.", same));
  $("compare").replaceChildren(lined("What differs, most of all first; objectives lead.",
    lines.filter(([, s]) => s)), fold);
};

/* Boxes: the keyboard's way to every range. */
const boxes = new Map();
const fillBoxes = c => {
  const b = boxes.get(c), range = ranges.get(c);
  if (!b) return;
  b.set.className = range ? "active" : "";
  const fill = (box, text) => { if (box !== document.activeElement) box.value = text; };
  if (c.text) return fill(b.any, range ? range.typed : "");
  for (const key of ["lo", "hi"])
    fill(b[key], range && Number.isFinite(range[key]) ? short(c, range[key], 6) : "");
};
const readBoxes = c => {
  const b = boxes.get(c);
  if (c.text) {
    const typed = b.any.value;
    const words = typed.toLowerCase().split(",").map(w => w.trim()).filter(w => w);
    return setRange(c, words.length ? { words, typed } : null);
  }
  const read = (box, none) => box.value === "" ? none : Number(box.value) * c.size;
  const lo = read(b.lo, -Infinity), hi = read(b.hi, Infinity);
  setRange(c, lo > -Infinity || hi < Infinity ? { lo, hi } : null);
};
const makeBoxes = () => $("ranges").replaceChildren(...[...shown].map(c => {
  const b = {}, input = (key, text, type) => make("label", {}, text, b[key] = make("input",
    { type, step: "any", oninput: () => readBoxes(c), "aria-label": c.label + " " + text }));
  b.set = make("fieldset", {}, make("legend", { title: c.meaning || "" }, c.label),
    make("div", {}, ...c.text ? [input("any", "any of (commas between)", "text")]
      : [input("lo", "from", "number"), input("hi", "to", "number")]));
  boxes.set(c, b);
  fillBoxes(c);
  return b.set;
}));

/* Saving: the header and every digit of the file. */
const save = (rows, name) => {
  const cell = v => v === null ? "" : /[",\r\n]/.test(v) ? '"' + v.replaceAll('"', '""') + '"'
    : String(v).replace("Infinity", "INF");
  const lines = [columns.map(c => c.header), ...rows.map(r => columns.map(c => c.at(r)))];
  const text = lines.map(line => line.map(cell).join(",") + "\n").join("");
  const link = make("a", { download: name,
    href: URL.createObjectURL(new Blob([text], { type: "text/csv" })) });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
};

let waiting = false;
const draw = () => {
  waiting = false;
  arrange();
  $("status").textContent = order.length + " of " + count + " rows kept, " +
    chosen.size + " chosen, " + (ranges.size || "no") + (ranges.size === 1 ? " range set." : " ranges set.");
  drawRows();
  drawLimits();
  drawCompare();
  drawPair();
  drawAxes();
};
const refresh = () => {
  if (!waiting) requestAnimationFrame(draw);
  waiting = true;
};

/* Pointer: a drag keeps a range, a click chooses a row or frees an axis. */
const follow = (canvas, start, move, end) => {
  let drag = null;
  const at = e => [e.offsetX, e.offsetY];
  canvas.onpointerdown = e => {
    drag = e.button ? null : start(...at(e));
    if (drag) canvas.setPointerCapture(e.pointerId);
  };
  canvas.onpointermove = e => drag && move(drag, ...at(e));
  canvas.onpointerup = () => { if (drag) end(drag); drag = null; };
  canvas.onpointercancel = () => { drag = null; refresh(); };
};
follow($("pair"), (x, y) => ({ x0: x, y0: y, x1: x, y1: y }), (d, x, y) => {
  Object.assign(d, { x1: x, y1: y });
  drawPair(d);
}, d => {
  const { X, Y, x, y } = pairPlace(), { across, up } = pair;
  if (Math.hypot(d.x1 - d.x0, d.y1 - d.y0) > 5) {
    brush(across, x(d.x0), x(d.x1));
    if (up !== across) brush(up, y(d.y0), y(d.y1));
    return;
  }
  let best = -1, least = 14;
  for (const r of order) {
    const far = Math.hypot(X(across.number(r)) - d.x0, Y(up.number(r)) - d.y0);
    if (far < least) least = far, best = r;
  }
  if (best >= 0) choose(best);
});
follow($("axes"), (x, y) => {
  const column = [...shown].find((c, i) => Math.abs(axisX(i) - x) < 22);
  return column && { column, y0: y, y1: y };
}, (d, x, y) => {
  const at = p => unplace(d.column, Math.max(0, Math.min(1, 1 - (p - rail.top) / deep())));
  d.y1 = y;
  d.lo = at(Math.max(d.y0, y));
  d.hi = at(Math.min(d.y0, y));
  drawAxes(d);
}, d => Math.abs(d.y1 - d.y0) > 4 ? brush(d.column, d.lo, d.hi) : setRange(d.column, null));

for (const key of ["across", "up"]) {
  $(key).append(...ordered.map(c => make("option", { selected: c === pair[key] }, c.label)));
  $(key).onchange = () => {
    pair[key] = ordered[$(key).selectedIndex];
    refresh();
  };
}
$("choices").append(...ordered.map(c => make("label", { title: c.meaning || "" },
  make("input", { type: "checkbox", checked: shown.has(c), onchange: e => {
    if (e.target.checked) shown.add(c); else { shown.delete(c); ranges.delete(c); }
    makeBoxes();
    refresh();
  } }), c.label)));
const press = (key, act) => $(key).onclick = () => { act(); refresh(); };
press("earlier", () => page--);
press("later", () => page++);
press("forget", () => chosen.clear());
press("free", () => { ranges.clear(); page = 0; makeBoxes(); });
press("save-kept", () => save(order, "kept.csv"));
press("save-chosen", () => save([...chosen], "chosen.csv"));
document.querySelector("main").hidden = false;
$("caution").hidden = !columns.some(c => c.name === "stored_energy");
makeBoxes();
drawNear();
refresh();
/* What is drawn now goes to paper as lines, not as the screen's dots. */
addEventListener("beforeprint", () => { drawPair(); drawAxes(); });
new ResizeObserver(refresh).observe(document.body);
matchMedia("(prefers-color-scheme: dark)").onchange = refresh;
})();
