// A sheet over the screen: title, what is in it, a way out. Esc and the button close it; nothing is lost by closing.

import { button, el } from "./dom.js";

export function sheet(title, ...kids) {
  document.querySelector("dialog.sheet")?.remove();
  const body = el("div", { class: "stack sheet__body" }, ...kids);
  const box = el(
    "dialog",
    { class: "sheet", "aria-labelledby": "sheet-title" },
    el(
      "div",
      { class: "sheet__head" },
      el("h2", { id: "sheet-title", tabindex: "-1", autofocus: true }, title),
      button("Close", () => box.close(), { kind: "quiet", key: "close" }),
    ),
    body,
  );
  box.addEventListener("close", () => box.remove());
  document.body.append(box);
  box.showModal();
  return { box, body, close: () => box.close() };
}

// A row of quick answers and one exact field. `pick(value)` gets the answer.
export function answers(choices, pick) {
  return el("div", { class: "answers" }, choices.map(([words, value]) => button(words, () => pick(value), { kind: "quiet", key: words })));
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
  const send = el("button", { class: "button button--wide", type: "submit" }, words);
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
