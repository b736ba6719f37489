// The labels of the kitchen screen, each written once. What is said of a plan comes with its bundle: titles and texts of its
// steps, and the words of places, flags and answers (webapp/words/kinds/).

export const doneWord = ({ words }, kind) => words.done[kind] ?? "Done"; // a newer server’s kind, perhaps
// On the button: where its bowl or tray stands by then, so that nobody goes who has left it on the bench.
export const doneThere = (kitchen, { kind, place, there = place }) => `${doneWord(kitchen, kind)}${place === "warm" && there === "warm" && kind !== "warm" ? kitchen.phrase("in the warm spot too") : ""}`;

// What is said where there is no bundle to bring it.
export const LEFT_US = { "true": "given up", "false": "deleted", undefined: "given up or deleted", one: "It rings no more.", more: "They ring no more.", read: "Understood" };
export const MEMORY = {
  none: "This browser keeps nothing (a private window?). Leave this page open: what you tap goes to the server alone.",
  newer: "This phone’s kitchen was written by a newer version of the app. Load the page again with the server in reach.",
  slow: "This phone’s storage does not answer. Leave this page open: what you tap goes to the server alone. Close the other windows, or start the browser anew.",
  blocked: "Another window has an older version. Close the other windows, and load this page again.",
};
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

// For bundles packed before their words came with them, until they are fetched again: short, so that the screen still says what is
// what; most are their own keys, and how it came out is not asked.
const own = (keys) => Object.fromEntries(keys.split(" ").map((key) => [key, key.replace("-", " ")]));
const PLAIN = {
  days: {},
  yeast_water: "Yeast water",
  oven: {},
  help: {},
  done: {},
  looks: own("hardly doubled well-over sinking"),
  pokes: own("at-once slowly stays"),
  baking: own("more base-pale top-dark"),
  places: own("bench fridge warm oven none"),
  carry: own("bench fridge warm"),
  pegs: own("mix press preferment chill temper preheat load warm warm-out fold"),
  flags: own("young past never long long-rising off off-then"),
  ways: own("as-planned on-time later sooner warm cold-tray fridge bench"),
  plates: own("young bit-young best bit-past past"),
  outside: own("colder warmer glass again soon"),
  results: own("young bit-young best bit-past past"),
  parts: [],
  verdicts: [],
  said: { ...own("verdict timing note good nothing burns throw take-fresh keep-cold"), "dough-out": "Dough out: {spent}" },
  timings: [],
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
  const clock = (at) => (at <= now + 60 ? kitchen.phrase("now").toLowerCase() : kitchen.format.dayClock(at, now));
  const things = moves.map((move) => [move.at, `${kitchen.words.carry[move.place]} ${clock(move.at)}`]);
  if (press_at) {
    things.push([press_at, kitchen.phrase("pressed then", { at: clock(press_at) })]);
  }
  things.push([load_at, kitchen.phrase("oven then", { at: clock(load_at) })]);
  if (relit_at) {
    things.push([now, kitchen.phrase("the oven off now")], [relit_at, kitchen.phrase("on again", { at: clock(relit_at) })]);
  }
  return capital(things.sort((a, b) => a[0] - b[0]).map(([, said]) => said).join(" · "));
}
