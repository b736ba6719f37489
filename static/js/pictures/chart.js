// The tide chart laid out as shapes. Twin of webapp/pictures/chart.py: same names, same arithmetic, same order; a browser test
// compares the pictures drawn from both. `local` says how instants read (clock, dayClock, day, face, half) and what a bundle
// brings of words (pegs, phrase).

import { five } from "../lib/format.js";
import { ASIDE_PLACES } from "../plan/kinds.js";
import { mixedAt, pairsOf, timesAt, untilOf, waiting } from "./reading.js";

const MOST_POINTS = 96;
const LETTER = 9.6;
const APART = 9; // between two words
const BOLD = 11;
const SWATCH = 26;
const HALF_A_DAY_S = 12 * 3600;
const TOGETHER_S = 45 * 60;
// What a visit can be told by below the chart, by worth.
const PEGS = ["mix", "press", "preferment", "chill", "temper", "preheat", "load", "warm", "warm-out", "fold"];
const ALWAYS = ["load"];
const BESIDE_FLAG = 30;

export function chart(plan, retimed, local, how, now = null, until = 0) {
  const scale = scaleOf(plan, retimed, how);
  const curve = fewer(retimed.curve);
  const drawn = now !== null && scale.first <= now && now <= scale.last;
  const pairs = pairsOf(plan, retimed);
  const flag = flagOf(retimed, local, scale);
  return {
    size: how,
    columns: columns(plan, pairs, scale, flag),
    band: [
      ...curve.map((p) => [scale.x(p.at), scale.y(p.high)]),
      ...[...curve].reverse().map((p) => [scale.x(p.at), scale.y(p.low)]),
    ],
    line: curve.map((p) => [scale.x(p.at), scale.y(p.progress)]),
    pegs: pegs(pairs, local, scale, now),
    window: windowOf(plan, retimed, local, scale, until),
    now: drawn ? scale.x(now) : null,
    flag,
    readings: curve.map((p) => readingOf(plan, p, scale)),
  };
}

function scaleOf(plan, retimed, how) {
  const glass = plan.rise.glass;
  const begins = Math.min(...retimed.steps.map((r) => r.start), mixedAt(plan, retimed));
  const ends = Math.max(...retimed.steps.map((r) => r.end), retimed.supper, retimed.ready_at);
  const margin = Math.floor((ends - begins) / 50) + 300;
  const [first, last] = [begins - margin, ends + margin];
  const pasts = plan.steps.filter((s) => s.mark).map((s) => timesAt(glass, s.mark.past));
  const highest = retimed.curve.length ? Math.max(...retimed.curve.map((p) => timesAt(glass, p.high))) : 2;
  const wanted = pasts.length ? Math.min(Math.max(highest, pasts[0] * 1.12), pasts[pasts.length - 1] * 1.2) : highest;
  const most = Math.max(wanted, 1.5);
  const room = how.width - how.left - how.right;
  const x = (at) => how.left + (room * (Math.min(Math.max(at, first), last) - first)) / (last - first);
  const up = (times) => how.base - (how.plot * (Math.min(Math.max(times, 1), most) - 1)) / (most - 1);
  return { how, first, last, most, x, up, y: (progress) => up(timesAt(glass, progress)) };
}

function fewer(curve) {
  const stride = Math.floor((curve.length - 1) / MOST_POINTS) + 1;
  return curve.filter((_, i) => i % stride === 0 || i === curve.length - 1);
}

function flagOf({ supper }, local, scale) {
  const x = scale.x(supper);
  const words = local.phrase("chart eat", { at: local.clock(supper) });
  return { x, words, end: Math.max(x - BESIDE_FLAG, scale.how.left + words.length * LETTER) };
}

function columns(plan, pairs, scale, flag) {
  const spans = plan.busy.map((b) => [b.kind, b.word || b.kind, b.start, b.end]);
  const chain = pairs.filter(([s]) => s.chain);
  const aside = chain.slice(1).map(([, { start }], i) => [chain[i][0].place, chain[i][0].place, chain[i][1].end, start]);
  spans.push(...aside.filter(([place]) => ASIDE_PLACES.includes(place)));
  const out = [];
  for (const [kind, word, start, end] of spans) {
    let [x, width] = [scale.x(start), scale.x(end) - scale.x(start)];
    const before = out[out.length - 1];
    if (before?.kind === kind && x - (before.x + before.width) < 2) {
      out.pop();
      [x, width] = [before.x, x + width - before.x];
    }
    if (width >= LETTER) {
      const room = word.length * LETTER;
      const half = (width + room) / 2;
      const under = !ASIDE_PLACES.includes(kind) && x + half > flag.end - flag.words.length * LETTER && x + width - half < flag.x;
      out.push({ kind, x, width, label: width >= room + 6 && !under ? word : "" });
    }
  }
  return out;
}

const byStart = (a, b) => a[1].start - b[1].start;
function visits(pairs) {
  const out = [];
  let until = 0;
  for (const [step, timed] of pairs.filter(([s]) => s.presence !== "none").sort(byStart)) {
    if (!out.length || timed.start - until > TOGETHER_S) {
      out.push([]);
    }
    out[out.length - 1].push([step, timed]);
    until = Math.max(until, timed.end);
  }
  return out;
}

function pegs(pairs, local, scale, now) {
  const { chosen, words, slots } = fitting(pairs, local, scale);
  const times = timesOf(chosen, local);
  return chosen.map(([step, timed], i) => {
    const due = now !== null && timed.status === "open" && timed.start <= now;
    return { step_id: step.step_id, kind: step.kind, x: scale.x(timed.start), slot: slots[i], time: times[i], word: words[i], status: due ? "due" : timed.status };
  });
}

function fitting(pairs, local, { how: size, x }) {
  const placesOf = (chosen) => chosen.map(([, timed]) => x(timed.start));
  for (const mayLieUnder of [false, true]) {
    for (let most = size.pegs; most > 1; most -= 1) {
      const chosen = picked(pairs, most);
      const [times, at] = [timesOf(chosen, local), placesOf(chosen)];
      for (const [ends, folds] of [[2, true], [2, false], [1, true], [1, false]]) {
        const words = named(chosen, local, ends, folds ? folding(pairs) : []);
        const rooms = words.map((word, i) => Math.max(size.slot, word.length * LETTER + APART, times[i].length * LETTER));
        const slots = spread(at, rooms, size.width);
        if (rooms.reduce((sum, room) => sum + room, 0) <= size.width && (mayLieUnder || isClear(at, slots, rooms))) {
          return { chosen, words, slots };
        }
      }
    }
  }
  const chosen = picked(pairs, 1);
  return { chosen, words: named(chosen, local, 0), slots: spread(placesOf(chosen), chosen.map(() => size.slot), size.width) };
}

const isClear = (at, slots, rooms) => !slots.some((slot, i) => at.some((place, n) => i !== n && Math.abs(place - slot) < rooms[i] / 2 - APART));

function timesOf(chosen, local) {
  const instants = chosen.map(([, timed]) => (timed.status === "open" ? timed.start : timed.end));
  const halves = instants.map(local.half);
  return instants.map((at, i) => local.face(at) + (halves[i] === halves[i - 1] ? "" : halves[i]));
}

function folding(pairs) {
  const told = visits(pairs).map((visit) => visit.map(([step]) => step).filter(({ kind }) => PEGS.includes(kind)));
  return told.filter((steps) => steps.slice(1).some(({ kind }) => kind === "fold")).map(([first]) => first.step_id);
}

function named(chosen, local, ends, foldingToo = []) {
  const days = chosen.map(([, timed]) => local.day(timed.start));
  const told = new Set(days).size > 1 ? [0, days.length - 1].slice(0, ends) : [];
  return chosen.map(([step], i) => {
    const what = local.pegs[step.kind];
    const word = foldingToo.includes(step.step_id) ? local.phrase("chart fold", { what }) : what;
    return told.includes(i) ? `${word} ${days[i]}` : word;
  });
}

function picked(pairs, most) {
  const told = visits(pairs).map((visit) => visit.filter(([s]) => PEGS.includes(s.kind)));
  const chosen = told.flatMap((visit) => visit.filter((pair, i) => i === 0 || ALWAYS.includes(pair[0].kind)));
  return chosen.sort((a, b) => PEGS.indexOf(a[0].kind) - PEGS.indexOf(b[0].kind)).slice(0, most).sort(byStart);
}

function spread(wanted, rooms, width) {
  const out = [...wanted];
  const apart = (i) => (rooms[i] + rooms[i + 1]) / 2;
  for (let i = 0; i < out.length; i += 1) {
    out[i] = Math.max(out[i], i === 0 ? rooms[i] / 2 : out[i - 1] + apart(i - 1));
  }
  for (let i = out.length - 1; i >= 0; i -= 1) {
    out[i] = Math.min(out[i], i === out.length - 1 ? width - rooms[i] / 2 : out[i + 1] - apart(i));
  }
  return out;
}

function windowOf(plan, retimed, local, scale, homeBy) {
  const timed = waiting(plan, retimed);
  if (timed === null || timed.early_at >= timed.past_at) {
    return null;
  }
  const [until, serves] = [untilOf(timed, homeBy), timed.early_at < retimed.supper];
  const endAt = serves ? Math.min(timed.past_at, until || retimed.supper, retimed.supper) : timed.past_at;
  const [left, right] = [scale.how.left, scale.how.width - scale.how.right];
  const day = endAt - retimed.supper > HALF_A_DAY_S ? `${local.day(endAt)} ` : "";
  const isLong = serves && !until && retimed.supper < timed.past_at && !plan.dough_perishes;
  const oven = pairsOf(plan, retimed).filter(([s]) => s.kind === "load").pop()?.[1].start;
  const [x, end] = [scale.x(timed.early_at), endAt > scale.last ? scale.how.width + 9 : scale.x(isLong && oven > timed.early_at ? Math.min(oven, endAt) : endAt)];
  const since = local.clock(five(timed.early_at));
  const when = isLong ? local.phrase("chart from", { since }) : `${since}–${day}${local.clock(five(endAt))}`;
  const full = local.phrase("chart waits for you", { when });
  const label = full.length * BOLD + SWATCH <= right - left ? full : local.phrase("chart waits", { when });
  const wide = label.length * BOLD + SWATCH;
  return { x, end, label, label_x: Math.max(left, Math.min((x + end - wide) / 2, right - wide)) };
}

function readingOf({ rise: { glass } }, point, scale) {
  const [times, low, high] = [point.progress, point.low, point.high].map((progress) => timesAt(glass, progress));
  return { at: point.at, x: scale.x(point.at), times, low, high, dough_c: point.dough_c };
}
