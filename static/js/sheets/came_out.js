// How it came out: the same choices as the book's form, written as one event that the book reads when it has been sent.

import { button, el, say } from "../lib/dom.js";
import { form, sheet } from "../lib/sheet.js";

const GOOD = "good";

export function open(kitchen) {
  const said = Object.fromEntries(kitchen.state.outcome);
  const signs = kitchen.bundle.signs ?? [];
  const groups = kitchen.words.parts.map(([part, name]) => [part, group(name, part, "checkbox", [[GOOD, kitchen.words.said.good], ...signs.filter((sign) => sign.part === part).map((sign) => [sign.key, sign.name])], said[part])]);
  groups.push(["verdict", group(kitchen.words.said.verdict, "verdict", "radio", kitchen.words.verdicts, said.verdict)]);
  groups.push(["timing", group(kitchen.words.said.timing, "timing", "radio", kitchen.words.timings, said.timing)]);
  const note = el("textarea", { id: "came-out-note", rows: "3", maxlength: "2000" });
  const send = (complain) => {
    const outcome = Object.fromEntries(groups.map(([part, box]) => [part, ticked(box)]).filter(([, words]) => words));
    const text = note.value.trim();
    const items = [Object.keys(outcome).length > 0 ? ["outcome", outcome] : null, text ? ["note", { text }] : null].filter(Boolean);
    if (items.length === 0) {
      complain(kitchen.words.said.nothing);
      return;
    }
    page.close();
    kitchen.tell(...items);
    say(kitchen.phrase("written down"));
  };
  const allGood = () => {
    for (const box of page.box.querySelectorAll("[type=checkbox]")) {
      box.checked = box.value === GOOD;
    }
    send();
  };
  const page = sheet(
    kitchen.phrase("how did it come out"),
    button(kitchen.phrase("all good"), allGood, { kind: "wide", key: "all-good", says: true }),
    form(kitchen.phrase("write it down"), send, ...groups.map(([, box]) => box), el("div", { class: "field" }, el("label", { class: "field__label", for: "came-out-note" }, kitchen.words.said.note), note)),
  );
}

function group(legend, part, type, choices, said = "") {
  const words = said.split(" ");
  const boxes = choices.map(([value, name]) => {
    const input = el("input", { type, name: part, value });
    input.checked = words.includes(value);
    return el("label", { class: "choice" }, input, el("span", { class: "choice__name" }, name));
  });
  return el("fieldset", { class: "field", on: { change } }, el("legend", { class: "field__label" }, legend), el("div", { class: "choices" }, boxes));
}

// Good and something wrong are not both true: the later tap counts.
function change({ target, currentTarget }) {
  if (target.type === "checkbox" && target.checked) {
    for (const other of currentTarget.querySelectorAll("input")) {
      other.checked = other.checked && (other === target || (other.value === GOOD) === (target.value === GOOD));
    }
  }
}

const ticked = (box) => [...box.querySelectorAll("input:checked")].map((input) => input.value).join(" ");
