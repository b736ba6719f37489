// Elements built by code: text is always text, so nothing typed or sent can become markup.

const SAID_MS = 30_000;
const SVG = "http://www.w3.org/2000/svg";
const HEARD = Symbol(); // what each kind of event calls
const KEY = Symbol(); // which of its neighbours this is
const KEEP = Symbol(); // what stands there already is right

// One listener a kind, for good: what it calls can be put in its place anew without touching the element (patch.js).
function call(event) {
  event.currentTarget[HEARD]?.[event.type]?.(event);
}

function hear(node, listeners) {
  for (const kind of Object.keys(listeners)) {
    if (!(kind in (node[HEARD] ?? {}))) {
      node.addEventListener(kind, call);
    }
  }
  node[HEARD] = { ...node[HEARD], ...listeners };
}

// `old` answers from now on as `fresh` would have.
export function hearLike(old, fresh) {
  for (const kind of Object.keys(old[HEARD] ?? {})) {
    if (!(kind in (fresh[HEARD] ?? {}))) {
      old.removeEventListener(kind, call);
      delete old[HEARD][kind];
    }
  }
  hear(old, fresh[HEARD] ?? {});
}

export const keyOf = (node) => node[KEY] ?? node.dataset?.key ?? "";
export const isKept = (node) => node[KEEP] ?? false;

// el("p", { class: "soft", key: "which one", on: { click } }, "words", child, null); `keep: true` stands for an element that
// is on the screen and shall stay as it is.
export function el(tag, props = {}, ...kids) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (name === "on") {
      hear(node, value);
    } else if (name === "key") {
      node[KEY] = value;
    } else if (name === "keep") {
      node[KEEP] = value;
    } else if (value === true) {
      node.setAttribute(name, "");
    } else if (value !== null && value !== undefined && value !== false) {
      node.setAttribute(name, value);
    }
  }
  node.append(...kids.flat(Infinity).filter((kid) => kid !== null && kid !== undefined && kid !== false && kid !== ""));
  return node;
}

export function picture(name, size = "") {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("class", size ? `pic pic--${size}` : "pic");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("aria-hidden", "true");
  const use = document.createElementNS(SVG, "use");
  use.setAttribute("href", document.getElementById(`pic-${name}`) ? `#pic-${name}` : "#pic-dot");
  svg.append(use);
  return svg;
}

// What a button has that says something into the journal: it may rest for a moment after anything was said (rest.js). `of`:
// what it is said of, where the words of the button do not tell.
export const saying = (of = null) => ({ "data-says": true, "data-of": of });

// A button; `key` says which of the screen's buttons it is, however often it is drawn; `says`: a tap on it is written down.
export function button(words, onTap, { kind = "", pic = "", key = "", label = null, disabled = false, says = false, of = null } = {}) {
  const classes = ["button", ...kind.split(" ").filter(Boolean).map((one) => `button--${one}`)].join(" ");
  const props = { class: classes, type: "button", "data-key": key || words, "aria-label": label, disabled, ...(says ? saying(of) : {}) };
  return el("button", { ...props, on: { click: onTap } }, pic ? picture(pic) : null, el("span", {}, words));
}

export function notice(kind, ...kids) {
  const pic = { good: "good", careful: "caution", due: "bell" }[kind] ?? "note";
  const body = el("div", { class: "stack stack--tight" }, ...kids);
  return el("div", { class: kind ? `notice notice--${kind}` : "notice" }, picture(pic), body);
}

// Say something to those who listen to the screen; who reads it there later is not told what was so then.
export function say(words) {
  const said = document.getElementById("said");
  said.textContent = words;
  setTimeout(() => said.textContent === words && (said.textContent = ""), SAID_MS);
}
