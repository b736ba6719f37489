// The tide chart as SVG text and in words. Twin of webapp/pictures/svg.py: same shapes, same order, same text.

import { five, trimmed } from "../lib/format.js";
import { capital } from "../lib/labels.js";
import { ASIDE_PLACES } from "../plan/kinds.js";
import { timedSteps } from "../plan/retimed.js";
import { mixedAt, timesAt, untilOf, waiting } from "./reading.js";

const ESCAPES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;" };

const escape = (text) => String(text).replace(/[&<>"']/g, (sign) => ESCAPES[sign]);

const STRIP_HEIGHT = 34;
const LATER_S = 900; // the best is so much later than supper lets it be: said beside it

// A length to a tenth of a unit, rounded half up.
function tenth(value) {
  const tenths = Math.trunc(value * 10 + 0.5);
  const [whole, rest] = [Math.floor(tenths / 10), tenths % 10];
  return rest ? `${whole}.${rest}` : `${whole}`;
}

function timesText(value) {
  const tenths = Math.trunc(value * 10 + 0.5);
  return `${Math.floor(tenths / 10)}.${tenths % 10}`;
}

const many = (things, drawOne) => things.map(drawOne).join("");

export function draw(chart, uid, title, desc, local) {
  const { size } = chart;
  return [
    `<svg class="tide tide--${size.key}" viewBox="0 0 ${tenth(size.width)} ${tenth(size.height)}" role="img" `,
    `aria-labelledby="${uid}-title ${uid}-desc">`,
    `<title id="${uid}-title">${escape(title)}</title><desc id="${uid}-desc">${escape(desc)}</desc>`,
    many(chart.columns, (column) => columnOf(column, size)),
    chart.band.length ? `<polygon class="tide__band" points="${points(chart.band)}"/>` : "",
    chart.line.length ? `<polyline class="tide__line" points="${points(chart.line)}"/>` : "",
    many(chart.columns.filter((c) => c.label), (c) => columnLabel(c, size)),
    foot(chart),
    many(chart.pegs, (peg) => pegOf(peg, size)),
    flag(chart),
    nowLine(chart, local),
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

// A strip along the bottom: the fridge, the warm spot.

function isStrip(column) {
  return ASIDE_PLACES.includes(column.kind);
}

function columnOf(column, size) {
  const high = isStrip(column) ? Math.min(STRIP_HEIGHT, size.plot) : size.plot;
  return rect(`tide__${column.kind}`, column.x, size.base - high, column.width, high);
}

function columnLabel(column, size) {
  const y = isStrip(column) ? size.base - 13 : size.top + 20;
  return text("tide__word", column.x + column.width / 2, y, column.label, "middle");
}

function foot({ window: wait, size }) {
  const base = line("tide__base", size.left, size.base, size.width - size.right, size.base);
  const bar = wait === null ? "" : rect("tide__ripe", wait.x, size.base - 8, wait.end - wait.x, 16, "", 8) +
    rect("tide__ripe", wait.label_x, size.base + 63, 20, 12, "", 6) +
    text("tide__good", wait.label_x + 26, size.base + 75, wait.label);
  return base + bar;
}

function pegOf(peg, size) {
  return (
    `<g class="tide__step--${peg.status}">` +
    line("tide__lead", peg.x, size.base, peg.slot, size.base + 17) +
    `<circle class="tide__peg" cx="${tenth(peg.x)}" cy="${tenth(size.base)}" r="6"/>` +
    text("tide__time", peg.slot, size.base + 32, peg.time, "middle") +
    `${text("tide__do", peg.slot, size.base + 51, peg.word, "middle")}</g>`
  );
}

function flag({ flag: { x, words, end }, size }) {
  const top = tenth(size.top - 4);
  return line("tide__pole", x, size.top - 4, x, size.base) + `<path class="tide__flag" d="M${tenth(x)} ${top}l-24 9l24 9z"/>` + text("tide__eat", end, size.top + 11, words, "end");
}

function nowLine({ now, size }, local) {
  if (now === null) {
    return "";
  }
  const held = Math.min(Math.max(now, 22), size.width - 22);
  const plate = rect("tide__nowplate", held - 22, 2, 44, 23, "", 6);
  return line("tide__now", now, size.top, now, size.base + 4) + plate + text("tide__nowword", held, 19, local.phrase("chart now"), "middle");
}

export function describe(plan, retimed, local) {
  const out = [local.phrase("chart mixed", { at: local.dayClock(mixedAt(plan, retimed)) })];
  timedSteps(plan, retimed).forEach(([step, timed]) => {
    if (step.mark && timed.status !== "passed") {
      const times = timesText(timesAt(plan.rise.glass, timed.progress));
      out.push(local.phrase("chart risen", { step: step.title, at: local.clock(timed.start), times }));
    }
  });
  for (const busy of plan.busy.filter((b) => b.start < retimed.ready_at && b.end > mixedAt(plan, retimed))) {
    const what = capital(busy.word || busy.kind);
    out.push(local.phrase("chart busy", { what, since: local.clock(busy.start), until: local.clock(busy.end) }));
  }
  return [...out, local.phrase("chart supper", { at: local.dayClock(retimed.supper) })].join(" ");
}

export function waits(plan, retimed, local, homeBy = 0) {
  const timed = waiting(plan, retimed);
  if (timed === null || timed.best_at === 0) {
    return "";
  }
  const end = untilOf(timed, homeBy);
  const sameDay = (at) => local.day(at) === local.day(retimed.supper);
  const said = (at) => (sameDay(at) ? local.clock(at) : `${local.day(at)} ${local.clock(at)}`);
  const [since, best] = [timed.early_at, timed.best_at].map((at) => said(five(at)));
  const held = plan.dough_perishes && timed.early_at < retimed.supper;
  const past = held ? Math.min(timed.past_at || retimed.supper, retimed.supper) : timed.past_at;
  const good = past ? local.phrase("chart about", { at: said(five(past)) }) : local.phrase("chart long");
  const until = end ? local.phrase("chart this supper", { at: said(end) }) : good;
  const isLoad = plan.steps.find((step) => step.step_id === timed.step_id).kind === "load";
  const what = isLoad ? local.phrase("chart to load") : local.phrase("chart to press");
  const could = timed.best_at > (end || timed.start + LATER_S) ? local.phrase("chart could") : "";
  return local.phrase("chart ready", { what, since, best, could, until });
}

// As below the picture and in the list of steps: when it is to begin, or was over.
const toldAt = (timed) => (timed.status === "open" ? timed.start : timed.end);

export function rows(plan, retimed, local) {
  return timedSteps(plan, retimed)
    .filter(([, timed]) => timed.status !== "passed")
    .map(([step, timed]) => [
      `${local.day(toldAt(timed))} ${local.clock(toldAt(timed))}`,
      step.title,
      step.needs ?? "",
      timed.progress > 0 ? `×${timesText(timesAt(plan.rise.glass, timed.progress))}` : "",
    ]);
}

export function readout(chart, local, heat = "C") {
  return JSON.stringify(
    chart.readings.map((r) => {
      const warmth = heat === "F" ? `${trimmed(r.dough_c * 1.8 + 32, 0)} °F` : `${trimmed(r.dough_c, 0)} °C`;
      const [times, low, high] = [r.times, r.low, r.high].map(timesText);
      const words = local.phrase("chart read", { at: local.clock(r.at), times, low, high, warmth });
      return [Math.round((r.x / chart.size.width) * 10000) / 10000, words];
    }),
  );
}
