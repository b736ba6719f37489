// A sheet over the screen: title, what is in it, a way out. Esc and the button close it; what was typed and not sent is there
// again when the same sheet is opened, and the focus goes back to where it came from.

import { button, el, saying } from "./dom.js";
import { patch } from "./patch.js";
import { mayMove } from "../touch/finger.js";
import { markAgain, restHere, restUnder } from "../touch/rest.js";

const drafts = new Map(); // what is half typed, by bake and sheet (kitchen/parts.js says which is opened)

export function sheet(title, ...kids) {
  document.querySelector("dialog.sheet")?.close();
  const from = document.activeElement;
  const { bake, sheet: which } = document.getElementById("screen")?.dataset ?? {};
  const draft = `${bake} ${which}`;
  const body = el("div", { class: "stack sheet__body" }, ...kids);
  const box = el(
    "dialog",
    { class: "sheet", "aria-labelledby": "sheet-title", on: { input: () => drafts.set(draft, typedIn(box)) } },
    el(
      "div",
      { class: "sheet__head" },
      el("h2", { id: "sheet-title", tabindex: "-1", autofocus: true }, title),
      button("Close", () => box.close(), { kind: "quiet", key: "close" }),
    ),
    body,
  );
  box.addEventListener("close", () => {
    box.remove();
    giveBack(from);
    restUnder();
  });
  document.body.append(box);
  typeAgain(box, drafts.get(draft) ?? []);
  box.showModal();
  restHere(); // a second tap on what opened it says nothing here
  // `done` closes it when what was typed has been said: then it is no draft any more.
  const done = () => {
    drafts.delete(draft);
    box.close();
  };
  // Something else in its place: what was typed there before it was closed stands there again.
  const fill = (...fresh) => {
    body.replaceChildren(...fresh);
    typeAgain(box, drafts.get(draft) ?? []);
    restHere();
  };
  return { box, body, fill, close: done };
}

// What a sheet shows of a choice. It follows the clock for as long as the sheet stands open: `show(view)` puts in place what
// `view()` gives, now and again whenever the kitchen looks at the clock; `again()` does so at once. `block`: how far to go down
// to what a tap inside the sheet brought; none for what a sheet opens with, which begins at its top.
export function preview() {
  const place = el("div", { class: "stack", "aria-live": "polite" });
  let view = null;
  const draw = () => {
    patch(place, ...view().filter(Boolean));
    markAgain();
  };
  const again = () => {
    draw();
    restHere(); // it came up under the finger that asked for it
  };
  const follow = () => {
    if (!place.isConnected) {
      removeEventListener("kitchen-looked", follow);
    } else if (document.visibilityState === "visible" && mayMove()) {
      draw();
    }
  };
  const show = (wanted, block) => {
    addEventListener("kitchen-looked", follow);
    view = wanted;
    draw();
    if (block) {
      place.scrollIntoView({ block });
    }
    restHere();
  };
  return { place, show, again };
}

const fields = (box) => [...box.querySelectorAll("input, textarea")];
const ticks = (field) => field.type === "checkbox" || field.type === "radio";

function typedIn(box) {
  return fields(box).map((field) => (ticks(field) ? { name: field.value + field.name, checked: field.checked } : { name: field.id, value: field.value }));
}

function typeAgain(box, typed) {
  for (const field of fields(box)) {
    const one = typed.find(({ name }) => name === (ticks(field) ? field.value + field.name : field.id));
    if (one && ticks(field)) {
      field.checked = one.checked;
    } else if (one) {
      field.value = one.value;
    }
  }
}

// To the button that opened the sheet, or the one that stands in its place.
function giveBack(from) {
  const key = from?.dataset?.key;
  const again = from?.isConnected ? from : [...document.querySelectorAll("[data-key]")].find((node) => key && node.dataset.key === key);
  again?.focus?.({ preventScroll: true });
}

// A row of quick answers and one exact field. `pick(value)` gets the answer.
export function answers(choices, pick) {
  return el("div", { class: "answers" }, choices.map(([words, value]) => button(words, () => pick(value), { kind: "quiet", key: words, says: true })));
}

export function numberField(label, unit, { value = "", min = null, max = null, step = "any", id = "number" } = {}) {
  const input = el("input", { type: "number", inputmode: "decimal", id, value, min, max, step, required: true });
  const line = el("div", { class: "field__line" }, input, unit ? el("span", { class: "field__unit" }, unit) : null);
  return { input, field: el("div", { class: "field" }, el("label", { class: "field__label", for: id }, label), line) };
}

// A field for a temperature in the kitchen's unit. `read(complain)` gives it in C, or null after saying what is wrong.
export function heatField(label, format, value, leastC, mostC) {
  const { input, field } = numberField(label, format.heatUnit, { value: format.heatOut(value), step: "0.5" });
  const read = (complain) => {
    const tempC = format.heatIn(Number(input.value.replace(",", ".")));
    if (input.value !== "" && tempC >= leastC && tempC <= mostC) {
      return tempC;
    }
    complain(`Give a temperature from ${format.heat(leastC)} to ${format.heat(mostC)}.`);
    return null;
  };
  return { field, read };
}

// A form that says what is wrong at its field and keeps what was typed.
export function form(words, onSend, ...kids) {
  const wrong = el("p", { class: "field__error", role: "alert", hidden: true });
  const send = el("button", { class: "button button--wide", type: "submit", ...saying() }, words);
  const complain = (text) => {
    wrong.textContent = text;
    wrong.hidden = !text;
  };
  const submit = (event) => {
    event.preventDefault();
    complain("");
    onSend(complain);
  };
  return el("form", { class: "stack", novalidate: true, on: { submit } }, ...kids, wrong, send);
}

// A field for a time of day. `read(complain, ask)` gives the instant nearest to what was meant, at the moment it is sent: for
// what has happened (`way` -1) the last time the clock showed it, for what is to come (1) the next. When the other one is
// nearer it is asked about, never guessed: `ask(words, yes, instant)`.
export function timeField(label, kitchen, way, id) {
  const input = el("input", { type: "time", id, required: true });
  const { format } = kitchen;
  const there = format.here(kitchen.now(), kitchen.now()) && ` (${format.clock(kitchen.now())} now in ${format.place})`;
  const field = el("div", { class: "field" }, el("label", { class: "field__label", for: id }, label, there), input);
  const read = (complain, take, asking) => {
    const now = kitchen.now();
    const [last, next] = [-1, 1].map((direction) => wallAt(format, input.value, now, direction));
    if (Number.isNaN(last) || Number.isNaN(next)) {
      complain("Give the time as on the clock, such as 16:45.");
      return;
    }
    const [meant, other] = way < 0 ? [last, next] : [next, last];
    if (Math.abs(other - now) < Math.abs(meant - now)) {
      asking(meant, other);
    } else {
      take(meant);
    }
  };
  return { field, read };
}

const LONGEST_DAY_MIN = 25 * 60; // when the clock goes back

// The nearest instant before (-1) or after (1) `now` at which the wall clock shows this ("16:05"), of a time that comes twice too;
// NaN when that cannot be read, or the clock skips it.
export function wallAt({ minuteOfDay }, typed, now, direction) {
  const [, hour, minute] = /^(\d{1,2}):(\d{2})/.exec(typed) ?? [];
  for (let i = 0; i <= LONGEST_DAY_MIN; i += 1) {
    const at = now - (now % 60) + i * 60 * direction;
    if (minuteOfDay(at) === Number(hour) * 60 + Number(minute)) {
      return at;
    }
  }
  return NaN;
}
