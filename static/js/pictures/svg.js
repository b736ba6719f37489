// The tide chart as SVG text and in words. Twin of webapp/pictures/svg.py: same shapes, same order, same text.

import { mixedAt, timesAt, waiting } from "./reading.js";

const ESCAPES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;" };

const escape = (text) => String(text).replace(/[&<>"']/g, (sign) => ESCAPES[sign]);

// A length to a tenth of a unit, rounded half up.
export function tenth(value) {
  const tenths = Math.trunc(value * 10 + 0.5);
  const [whole, rest] = [Math.floor(tenths / 10), tenths % 10];
  return rest ? `${whole}.${rest}` : `${whole}`;
}

function timesText(value) {
  const tenths = Math.trunc(value * 10 + 0.5);
  return `${Math.floor(tenths / 10)}.${tenths % 10}`;
}

const many = (things, drawOne) => things.map(drawOne).join("");

export function draw(chart, uid, title, desc) {
  const { size } = chart;
  return [
    `<svg class="tide tide--${size.key}" viewBox="0 0 ${tenth(size.width)} ${tenth(size.height)}" role="img" `,
    `aria-labelledby="${uid}-title ${uid}-desc">`,
    `<title id="${uid}-title">${escape(title)}</title><desc id="${uid}-desc">${escape(desc)}</desc>`,
    paints(uid),
    rect("tide__sea", size.left, size.top, size.width - size.left - size.right, size.plot),
    many(chart.zones, (zone) => zoneOf(zone, chart, uid)),
    many(chart.columns, (column) => columnOf(column, size)),
    many(chart.hours, (tick) => hourOf(tick, size)),
    many(chart.glass, (tick) => markOf(tick, size)),
    water(chart),
    chart.band.length ? `<polygon class="tide__band" points="${points(chart.band)}"/>` : "",
    chart.line.length ? `<polyline class="tide__line" points="${points(chart.line)}"/>` : "",
    many(chart.dots, ([x, y]) => `<circle class="tide__dot" cx="${tenth(x)}" cy="${tenth(y)}" r="6"/>`),
    many(chart.zones.filter((z) => z.label), (z) => text("tide__name", z.x + 6, z.y + z.height / 2 + 6, z.label)),
    many(chart.columns.filter((c) => c.label), (c) => columnLabel(c, chart)),
    foot(chart),
    many(chart.pegs, (peg) => pegOf(peg, size)),
    flag(chart),
    nowLine(chart),
    "</svg>",
  ].join("");
}

function rect(kind, x, y, width, height, fill = "", radius = 0) {
  const more = (radius ? ` rx="${tenth(radius)}"` : "") + (fill ? ` fill="${fill}"` : "");
  return `<rect class="${kind}" x="${tenth(x)}" y="${tenth(y)}" width="${tenth(width)}" height="${tenth(height)}"${more}/>`;
}

function line(kind, x1, y1, x2, y2) {
  return `<line class="${kind}" x1="${tenth(x1)}" y1="${tenth(y1)}" x2="${tenth(x2)}" y2="${tenth(y2)}"/>`;
}

function text(kind, x, y, words, anchor = "start") {
  return `<text class="${kind}" x="${tenth(x)}" y="${tenth(y)}" text-anchor="${anchor}">${escape(words)}</text>`;
}

const points = (list) => list.map(([x, y]) => `${tenth(x)},${tenth(y)}`).join(" ");

function paints(uid) {
  const fade = (kind) =>
    `<linearGradient id="${uid}-${kind}"><stop class="tide__stop-${kind}" offset="0" stop-opacity="0.12"/>` +
    `<stop class="tide__stop-${kind}" offset="0.9" stop-opacity="1"/></linearGradient>`;
  return (
    `<defs><pattern id="${uid}-hatch" width="8" height="8" patternUnits="userSpaceOnUse">` +
    `<path class="tide__thread" d="M-2 2l4-4M0 8l8-8M6 10l4-4"/></pattern>${many(["early", "best", "past"], fade)}</defs>`
  );
}

function zoneOf(zone, chart, uid) {
  const fill = zone.x === chart.zones[0].x ? `url(#${uid}-${zone.kind})` : "";
  const out = rect(fill ? "tide__zone" : `tide__${zone.kind}`, zone.x, zone.y, zone.width, zone.height, fill);
  const hatch = zone.kind === "past";
  return out + (hatch ? rect("tide__threads", zone.x, zone.y, zone.width, zone.height, `url(#${uid}-hatch)`) : "");
}

function water({ line: shape, size }) {
  if (!shape.length) {
    return "";
  }
  const shore = [[shape[shape.length - 1][0], size.base], [shape[0][0], size.base]];
  return `<polygon class="tide__water" points="${points([...shape, ...shore])}"/>`;
}

// A strip along the bottom: the fridge, the warm spot.
const isStrip = (column) => column.kind === "fridge" || column.kind === "warm";

function columnOf(column, size) {
  if (isStrip(column)) {
    const strip = size.words ? 26 : 14;
    return rect(`tide__${column.kind}`, column.x, size.base - strip, column.width, strip);
  }
  return rect(`tide__${column.kind}`, column.x, size.top, column.width, size.plot);
}

function columnLabel(column, chart) {
  const { size } = chart;
  const y = size.base - (isStrip(column) ? 7 : isCold(column, chart) || !size.words ? 34 : 9);
  return text("tide__word", column.x + column.width / 2, y, column.label, "middle");
}

function isCold(column, { columns }) {
  return columns.some((s) => isStrip(s) && s.x < column.x + column.width && column.x < s.x + s.width);
}

function hourOf(tick, size) {
  return line("tide__hour", tick.at, size.top, tick.at, size.base) + text("tide__clock", tick.at, size.top - 8, tick.label, "middle");
}

function markOf(tick, size) {
  const { at } = tick;
  return line("tide__level", size.left, at, size.width - size.right, at) + text("tide__clock", size.left - 6, at + 6, tick.label, "end");
}

function foot({ window: wait, size, hands }) {
  const bar = (kind, from) => rect(kind, from, size.base - 13, wait.end - from, 10, "", 5);
  return (
    (wait ? bar("tide__wait", wait.x) + bar("tide__ripe", wait.best) : "") +
    line("tide__base", size.left, size.base, size.width - size.right, size.base) +
    many(hands, (hand) => rect("tide__hands", hand.x - 0.5, size.base - 4, hand.width, 8, "", 2))
  );
}

function pegOf(peg, size) {
  const top = size.base + 32;
  return (
    `<g class="tide__step tide__step--${peg.status}">` +
    `<path class="tide__peg" d="M${tenth(peg.x)} ${tenth(top - 28)}L${tenth(peg.slot)} ${tenth(top)}"/>` +
    `<circle class="tide__plate" cx="${tenth(peg.slot)}" cy="${tenth(top + 17)}" r="17"/>` +
    `<use class="tide__pic" href="#pic-${escape(peg.kind)}" x="${tenth(peg.slot - 11)}" y="${tenth(top + 6)}" ` +
    `width="22" height="22"/>${text("tide__time", peg.slot, top + 56, peg.time, "middle")}</g>`
  );
}

function flag({ flag: x, size }) {
  const top = tenth(size.top - 4);
  return line("tide__pole", x, size.top - 4, x, size.base) + `<path class="tide__flag" d="M${tenth(x)} ${top}l-24 9l24 9z"/>`;
}

function nowLine({ now, size }) {
  if (now === null) {
    return "";
  }
  const held = Math.min(Math.max(now, 22), size.width - 22);
  const plate = rect("tide__nowplate", held - 22, 2, 44, 23, "", 6);
  return line("tide__now", now, size.top, now, size.base + 4) + plate + text("tide__nowword", held, 19, "now", "middle");
}

export function describe(plan, retimed, local) {
  const out = [`Time runs across, the rise of the dough runs up. Mixed at ${local.dayClock(mixedAt(plan, retimed))}.`];
  plan.steps.forEach((step, i) => {
    const timed = retimed.steps[i];
    if (step.mark && timed.status !== "passed") {
      const times = timesText(timesAt(plan.rise.glass, timed.progress));
      out.push(`${step.title} at ${local.clock(timed.start)}, risen to ${times} times its first volume.`);
    }
  });
  for (const busy of plan.busy.filter((b) => b.start < retimed.ready_at && b.end > mixedAt(plan, retimed))) {
    const said = busy.word || busy.kind;
    out.push(`${said[0].toUpperCase()}${said.slice(1)} from ${local.clock(busy.start)} to ${local.clock(busy.end)}.`);
  }
  return [...out, `Supper at ${local.dayClock(retimed.supper)}.`].join(" ");
}

export function waits(plan, retimed, local) {
  const timed = waiting(plan, retimed);
  if (timed === null) {
    return "";
  }
  const sameDay = (at) => local.day(at) === local.day(retimed.supper);
  const say = (at) => (sameDay(at) ? local.clock(at) : `${local.day(at)} ${local.clock(at)}`);
  return `The dough waits for you from ${say(timed.early_at)} to ${say(timed.past_at)}; best at ${say(timed.best_at)}.`;
}

export function rows(plan, retimed, local) {
  return plan.steps
    .map((step, i) => [step, retimed.steps[i]])
    .filter(([, timed]) => timed.status !== "passed")
    .map(([step, timed]) => [
      `${local.day(timed.start)} ${local.clock(timed.start)}`,
      step.title,
      step.needs ?? "",
      timed.progress > 0 ? `×${timesText(timesAt(plan.rise.glass, timed.progress))}` : "",
    ]);
}

export function readout(chart, local, heat = "C") {
  return JSON.stringify(
    chart.readings.map((r) => {
      const warmth = heat === "F" ? `${(r.dough_c * 1.8 + 32).toFixed(0)} °F` : `${r.dough_c.toFixed(0)} °C`;
      const [times, low, high] = [r.times, r.low, r.high].map(timesText);
      const words = `${local.clock(r.at)}: ×${times} (×${low} to ×${high}), dough at ${warmth}`;
      return [Math.round((r.x / chart.size.width) * 10000) / 10000, words];
    }),
  );
}
