// The rim at which an instant (whole UTC seconds) becomes words, in the bake's zone and the kitchen's own units.
// The same words as webapp/web/filters.py; nothing is computed with the result.

const HELD = "\u00a0"; // a number and its unit stay on one line

// The text with every number held to its unit.
export const held = (text) => text.replace(/(\d) (?=(?:%|g|kg|oz|h|min|mm|cm|tsp|tbsp|°C|°F)(?!\w))/g, `$1${HELD}`);

const GRID_S = 300;

// To the nearest five minutes: no dough is more exact than that.
export const five = (at) => Math.floor((at + GRID_S / 2) / GRID_S) * GRID_S;

const WALL = { hour: "2-digit", minute: "2-digit", hourCycle: "h23" };
const DAY = { weekday: "long", day: "numeric", month: "long", year: "numeric" };

// An old phone may not know a zone by its new name: then its own zone, which is the kitchen's most of the time.
export function knownZone(zone) {
  try {
    new Intl.DateTimeFormat("en-GB", { timeZone: zone });
    return zone;
  } catch {
    return undefined;
  }
}

// Costly to make, so each zone's only once; a page may ask for its own before it knows the bake's, while it waits anyway.
const made = new Map();

export function clocksOf(zone) {
  if (!made.has(zone)) {
    const timeZone = zone && knownZone(zone);
    made.set(zone, [...[WALL, DAY].map((one) => new Intl.DateTimeFormat("en-GB", { ...one, timeZone })), timeZone]);
  }
  return made.get(zone);
}

// `days`: the words for yesterday, today and tomorrow (-1, 0, 1), as they came with the bundle; without them a day is named.
export function formatFor(zone, kitchen, days = {}) {
  const [wall, date, known] = clocksOf(zone);

  const parts = (at) => wall.format(at * 1000).split(":").map(Number);
  const minuteOfDay = (at) => parts(at)[0] * 60 + parts(at)[1];

  // "19:30" or "7:30", the figures alone
  function face(at) {
    const [hour, minute] = parts(at);
    const two = (n) => String(n).padStart(2, "0");
    return `${kitchen.clock === "12" ? ((hour + 11) % 12) + 1 : two(hour)}:${two(minute)}`;
  }

  // Which half of the day, of a clock of twelve hours.
  const half = (at) => (kitchen.clock === "12" ? (parts(at)[0] < 12 ? " am" : " pm") : "");

  const clock = (at) => `${face(at)}${half(at)}${whichTime(at)}`;

  // On the night the clock goes back, by an hour or by half of one, a time comes twice.
  function whichTime(at) {
    const shown = (by) => [1800, 3600].some((apart) => minuteOfDay(at + by * apart) === minuteOfDay(at));
    return shown(-1) ? " (second time)" : shown(1) ? " (first time)" : "";
  }

  function dayName(at, now) {
    const [that, today] = [dayNumber(date, at), dayNumber(date, now)];
    const names = namesOf(date, at);
    const far = that - today < 0 || that - today > 6;
    return days[that - today] ?? (far ? `${names.weekday} ${names.day} ${names.month}` : names.weekday);
  }

  // the day and 07:15, and only the time when it is today
  const dayClock = (at, now) => (dayNumber(date, at) === dayNumber(date, now) ? clock(at) : `${dayName(at, now)} ${clock(at)}`);
  // the same by the phone's own clock; "" where that shows no other time then
  const isOwn = known === undefined || known === clocksOf()[0].resolvedOptions().timeZone;
  function here(at, now) {
    const own = isOwn ? "" : formatFor(undefined, kitchen, days).dayClock(at, now);
    return own === dayClock(at, now) ? "" : own;
  }

  return {
    ...{ clock, face, half, minuteOfDay, dayName, dayClock, here },
    bothClocks: (at, now) => `${dayClock(at, now)}${here(at, now) && ` (${here(at, now)} by this phone)`}`,
    weekday: (at) => namesOf(date, at).weekday,
    place: zone?.replaceAll("_", " "),
    isKnown: !zone || known !== undefined,
    ...inUnits(kitchen),
  };
}

// Mass and warmth in the kitchen's own units, and what is typed in them.
const inUnits = (kitchen) => ({
  grams: (grams) => mass(grams, kitchen.mass_unit),
  heat: (c) => (kitchen.heat_unit === "F" ? `${trimmed(c * 1.8 + 32, 0)}${HELD}°F` : `${trimmed(c, 0)}${HELD}°C`),
  heatUnit: kitchen.heat_unit === "F" ? "°F" : "°C",
  heatOut: (c) => (kitchen.heat_unit === "F" ? Math.round(c * 1.8 + 32) : Math.round(c)),
  heatIn: (typed) => (kitchen.heat_unit === "F" ? (typed - 32) / 1.8 : typed),
  massUnit: kitchen.mass_unit === "oz" ? "oz" : "g",
  massIn: (typed) => (kitchen.mass_unit === "oz" ? typed * 28.349523125 : typed),
  massOut: (grams) => (kitchen.mass_unit === "oz" ? grams / 28.349523125 : grams),
});

function namesOf(date, at) {
  return Object.fromEntries(date.formatToParts(at * 1000).map((part) => [part.type, part.value]));
}

function dayNumber(date, at) {
  const { day, month, year } = namesOf(date, at);
  return Math.round(Date.parse(`${day} ${month} ${year} 12:00 UTC`) / 86400000);
}

// "2 h 15 min", "45 min", "less than a minute"
export function duration(seconds) {
  const minutes = Math.floor((Math.abs(seconds) + 30) / 60);
  if (minutes === 0) {
    return "less than a minute";
  }
  let hours = Math.floor(minutes / 60);
  if (hours >= 48) {
    const days = Math.floor(hours / 24);
    hours -= days * 24;
    return `${days}${HELD}days${hours ? ` ${hours}${HELD}h` : ""}`;
  }
  const rest = minutes - hours * 60;
  return [hours ? `${hours}${HELD}h` : "", rest ? `${rest}${HELD}min` : ""].filter(Boolean).join(" ");
}

// "9 min 5 s", "31 s": for the last minutes
export function countdown(seconds) {
  const left = Math.max(0, Math.round(seconds));
  const minutes = Math.floor(left / 60);
  return `${minutes ? `${minutes}${HELD}min ` : ""}${left - minutes * 60}${HELD}s`;
}

// Rounded half up, with no empty decimals: `number_text` of webapp/core/units.py, so that an amount reads the same everywhere.
export const trimmed = (value, places) => `${(Math.sign(value) * Math.floor(Math.abs(value) * 10 ** places + 0.5)) / 10 ** places}`;

export function mass(grams, unit) {
  if (unit === "oz") {
    // what an ounce scale shows, as webapp/core/units.py has it
    const ounces = grams / 28.349523125;
    const steps = ounces / 0.005;
    const exact = Math.abs(steps - Math.round(steps)) < 1e-6;
    return `${trimmed(exact || ounces < 0.5 ? ounces : Math.round(ounces / 0.05) * 0.05, exact || ounces < 0.1 ? 3 : 2)}${HELD}oz`;
  }
  return `${trimmed(grams, grams < 5 ? 2 : grams < 20 ? 1 : 0)}${HELD}g`;
}
