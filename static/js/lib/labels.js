// The labels of the kitchen screen, each written once. What is said of a plan comes with its bundle: titles and texts of its
// steps, and the words of places, flags and answers (webapp/words/kinds/).

const DONE = {
  mix: "Mixed", preferment: "Mixed", rest: "Rested", fold: "Folded", "round-up": "Rounded up", chill: "It’s in the fridge",
  temper: "It’s out of the fridge", warm: "It’s in the warm spot", "warm-out": "It’s out", press: "Pressed out", relax: "Done", bulk: "Done",
  proof: "Done", preheat: "The oven is on", sauce: "Sauce is made", drain: "It drains", "cheese-out": "Cheese is out",
  top: "Topped", load: "It’s in the oven", "turn-down": "Turned down", check: "Checked", turn: "Turned", lift: "It’s out",
  cool: "Cooled", serve: "Served",
};
export const doneWord = (kind) => DONE[kind] ?? "Done"; // a newer server’s kind, perhaps
// On the button: where its bowl or tray stands by then, so that nobody goes who has left it on the bench.
export const doneThere = ({ kind, place, there = place }) => `${doneWord(kind)}${place === "warm" && there === "warm" && kind !== "warm" ? ", in the warm spot" : ""}`;

// How the dough looks at pressing, how a dent springs back.
export const BAKING_WORDS = { more: "2 minutes more", "base-pale": "Base pale", "top-dark": "Top dark" };
export const LOOK_WORDS = { hardly: "Hardly risen", doubled: "About doubled", "well-over": "Well over double", sinking: "Sinking" };
export const POKE_WORDS = { "at-once": "Springs back at once", slowly: "Slowly, a small dent stays", stays: "Does not come back" };

// Of a bundle that was packed before it held how a line is weighed for another pan.
export const HOW_LATER = "How to weigh it for this pan comes with the next connection.";

// What is said where there is no bundle to bring it.
export const PART_MISSING = "A part of this screen did not load. It is asked for again.";
export const HERE = { all: "Bakes in this phone", others: "Other bakes in this phone" };
export const INSTEAD = {
  none: "No dough on the go",
  plan: "Plan a bake: all of it is packed here, with no connection needed.",
  to_plan: "Plan a bake",
  missing: "This bake is not in this phone yet",
  fetched: "It comes when the server answers.",
  gone: "The server does not know it (any more).",
  newer: "This bake was packed by a newer version",
  connect: "Connect to the server once. The printed sheet and the calendar are good meanwhile.",
};

// For bundles packed before their words came with them: short, so that the screen still says what is what; most are their own keys.
const own = (keys) => Object.fromEntries(keys.split(" ").map((key) => [key, key.replace("-", " ")]));
const PLAIN = {
  days: {},
  yeast_water: "Yeast water",
  oven: {},
  help: {},
  places: own("bench fridge warm oven none"),
  carry: own("bench fridge warm"),
  flags: own("young past never long long-rising off off-then"),
  ways: own("as-planned on-time later sooner warm cold-tray fridge"),
  plates: own("young bit-young best bit-past past"),
  outside: own("colder warmer glass again soon"),
  results: own("young bit-young best bit-past past"),
  parts: [["base", "Below"], ["top", "Above"], ["crumb", "Inside"]],
  verdicts: [["young", "Young"], ["right", "Right"], ["past", "Old"]],
  said: { ...own("verdict timing note good nothing burns throw take-fresh keep-cold"), "dough-out": "Dough out: {spent}" },
  timings: [["early", "Early"], ["right", "Right"], ["late", "Late"]],
};

// What a bundle brings goes before what is here, word by word: one packed before a word was thought of has it in short.
export const withPlain = (brought = {}) => ({
  ...PLAIN, ...brought,
  ...Object.fromEntries(Object.keys(PLAIN).filter((group) => Object.getPrototypeOf(PLAIN[group]) === Object.prototype).map((group) => [group, { ...PLAIN[group], ...brought[group] }])),
});

export const capital = (words) => `${words.slice(0, 1).toUpperCase()}${words.slice(1)}`;
// A phrase of the bundle (webapp/words/screen/sheets.py), filled in. Of a bundle packed before there was that phrase its key is shown
// and the figures behind it: keys are English in short.
export function phraseOf(phrases, key, figures = {}) {
  const said = Object.values(figures).filter(Boolean);
  return phrases?.[key]?.replace(/\{(\w+)\}/g, (_, name) => figures[name]) ?? `${capital(key)}${said.length > 0 ? `: ${said.join(", ")}` : ""}`;
}

export const small = (words) => `${words.slice(0, 1).toLowerCase()}${words.slice(1)}`;

// "into the warm spot now · press out 16:45 · oven 18:55": the same words for a way and for one in the journal.
export function doWords(kitchen, { press_at, load_at, moves, relit_at }) {
  const now = kitchen.now();
  const clock = (at) => (at <= now + 60 ? "now" : kitchen.format.dayClock(at, now));
  const things = moves.map((move) => [move.at, `${kitchen.words.carry[move.place]} ${clock(move.at)}`]);
  if (press_at) {
    things.push([press_at, `press out ${clock(press_at)}`]);
  }
  things.push([load_at, `into the oven ${clock(load_at)}`]);
  if (relit_at) {
    things.push([now, "the oven off now"], [relit_at, `on again ${clock(relit_at)}`]);
  }
  return capital(things.sort((a, b) => a[0] - b[0]).map(([, said]) => said).join(" · "));
}
