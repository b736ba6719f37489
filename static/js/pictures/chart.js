// The tide chart laid out as shapes. Twin of webapp/pictures/chart.py: same names, same arithmetic, same order; a browser test
// compares the pictures drawn from both. `local` says how instants read: clock, dayClock, minute, day, face, style.

import { mixedAt, pairsOf, timesAt, waiting } from "./reading.js";

const MOST_POINTS = 96;
const PEG_ORDER = ["serve", "load", "mix", "preferment", "press", "preheat", "chill", "temper", "proof", "top", "lift"];

export function chart(plan, retimed, local, how, now = null) {
  const scale = scaleOf(plan, retimed, how);
  const curve = fewer(retimed.curve);
  const drawn = now !== null && scale.first <= now && now <= scale.last;
  const pairs = pairsOf(plan, retimed);
  return {
    size: how,
    columns: columns(plan, pairs, scale),
    zones: zones(mixedAt(plan, retimed), pairs, scale),
    band: [
      ...curve.map((p) => [scale.x(p.at), scale.y(p.high)]),
      ...[...curve].reverse().map((p) => [scale.x(p.at), scale.y(p.low)]),
    ],
    line: curve.map((p) => [scale.x(p.at), scale.y(p.progress)]),
    dots: pairs.filter(([s]) => s.mark).map(([, r]) => [scale.x(r.start), scale.y(r.progress)]),
    pegs: how.words ? pegs(pairs, local, scale, now) : [],
    hands: hands(pairs, scale),
    hours: hours(local, scale, drawn ? scale.x(now) : -99),
    glass: how.axis ? glassTicks(plan, scale) : [],
    window: windowOf(plan, retimed, scale),
    now: drawn ? scale.x(now) : null,
    flag: scale.x(retimed.supper),
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
  const kept = curve.filter((_, i) => i % stride === 0);
  if (curve.length && kept[kept.length - 1] !== curve[curve.length - 1]) {
    kept.push(curve[curve.length - 1]);
  }
  return kept;
}

function columns(plan, pairs, scale) {
  const spans = plan.busy.map((b) => [b.kind, b.word || b.kind, b.start, b.end]);
  const chain = pairs.filter(([s]) => s.chain);
  chain.slice(1).forEach(([, following], i) => {
    const [step, timed] = chain[i];
    if (["fridge", "warm", "oven"].includes(step.place)) {
      spans.push([step.place, step.place, timed.end, following.start]);
    }
  });
  const out = [];
  for (const [kind, word, start, end] of spans) {
    let [x, width] = [scale.x(start), scale.x(end) - scale.x(start)];
    const before = out[out.length - 1];
    if (before && before.kind === kind && x - (before.x + before.width) < 2) {
      out.pop();
      [x, width] = [before.x, x + width - before.x];
    }
    const named = kind !== "oven" && (scale.how.words || (kind !== "fridge" && kind !== "warm"));
    const fits = named && width >= word.length * 11 + 6;
    if (width >= 0.5) {
      out.push({ kind, x, width, label: fits ? word : "" });
    }
  }
  return out;
}

function zones(mixedAtNow, pairs, scale) {
  const out = [];
  let since = mixedAtNow;
  for (const [step, timed] of pairs) {
    if (!step.mark) {
      continue;
    }
    const [x, width] = [scale.x(since), scale.x(timed.start) - scale.x(since)];
    const { early, best, past } = step.mark;
    for (const [kind, low, high, words] of [
      ["early", early, best, "early"],
      ["best", best, past, "at its best"],
      ["past", past, past * 9, "past its best"],
    ]) {
      const [y, height] = [scale.y(high), scale.y(low) - scale.y(high)];
      const fits = scale.how.words && out.length < 3 && width >= words.length * 10 && height >= 20;
      out.push({ kind, x, y, width, height, label: fits ? words : "" });
    }
    since = timed.start;
  }
  return out.filter((zone) => zone.width >= 0.5 && zone.height >= 0.5);
}

function hands(pairs, scale) {
  const busy = pairs.filter(([step]) => step.presence === "hands");
  return busy.map(([, timed]) => ({ x: scale.x(timed.start), width: Math.max(4, scale.x(timed.end) - scale.x(timed.start)) }));
}

function pegs(pairs, local, scale, now) {
  const chosen = picked(pairs, Math.floor((scale.how.width - 4) / scale.how.slot));
  const slots = spread(chosen.map(([, r]) => scale.x(r.start)), scale.how.slot, scale.how.width);
  return chosen.map(([step, timed], i) => {
    const due = now !== null && timed.status === "open" && timed.start <= now;
    const [x, time] = [scale.x(timed.start), local.face(timed.start)];
    return { step_id: step.step_id, kind: step.kind, x, slot: slots[i], time, status: due ? "due" : timed.status };
  });
}

function picked(pairs, most) {
  const chosen = PEG_ORDER.flatMap((kind) => pairs.filter(([s]) => s.kind === kind).map(([s]) => s.step_id)).slice(0, most);
  return pairs.filter(([s]) => chosen.includes(s.step_id)).sort((a, b) => a[1].start - b[1].start);
}

export function spread(wanted, room, width) {
  const out = [...wanted];
  for (let i = 0; i < out.length; i += 1) {
    out[i] = Math.max(out[i], i === 0 ? room / 2 : out[i - 1] + room);
  }
  for (let i = out.length - 1; i >= 0; i -= 1) {
    out[i] = Math.min(out[i], i === out.length - 1 ? width - room / 2 : out[i + 1] - room);
  }
  return out;
}

function hours(local, scale, nowX) {
  const room = local.style === "24" ? 34 : 58;
  const across = scale.how.width - scale.how.left - scale.how.right;
  const wide = (scale.last - scale.first) / 3600;
  const step = [1, 2, 3, 6, 12].find((h) => (across * h) / wide >= room) ?? 24;
  const out = [];
  for (let at = (Math.floor(scale.first / 900) + 1) * 900; at < scale.last; at += 900) {
    const minute = local.minute(at);
    const x = scale.x(at);
    if (minute % (step * 60) === 0 && room / 3 < x && x < scale.how.width - room / 3) {
      out.push({ at: x, label: Math.abs(x - nowX) > room / 2 + 22 ? hourLabel(local, at, minute / 60) : "" });
    }
  }
  return out;
}

function hourLabel(local, at, hour) {
  if (hour === 0) {
    return local.day(at);
  }
  return local.style === "24" ? `${hour}` : `${((hour + 11) % 12) + 1} ${hour < 12 ? "am" : "pm"}`;
}

function glassTicks(plan, scale) {
  const whole = (t) => Number.isInteger(t);
  const halves = plan.rise.glass.map((mark) => mark.times).filter((t) => whole(t * 2));
  halves.sort((a, b) => !whole(a) - !whole(b) || a - b);
  const out = [];
  for (const times of halves) {
    const at = scale.up(times);
    if (times < scale.most && out.every((tick) => Math.abs(tick.at - at) >= 24)) {
      out.push({ at, label: `×${times}` });
    }
  }
  return out;
}

function windowOf(plan, retimed, scale) {
  const timed = waiting(plan, retimed);
  const none = timed === null || timed.early_at >= timed.past_at;
  return none ? null : { x: scale.x(timed.early_at), best: scale.x(timed.best_at), end: scale.x(timed.past_at) };
}

function readingOf({ rise: { glass } }, point, scale) {
  const [times, low, high] = [point.progress, point.low, point.high].map((progress) => timesAt(glass, progress));
  return { at: point.at, x: scale.x(point.at), times, low, high, dough_c: point.dough_c };
}
