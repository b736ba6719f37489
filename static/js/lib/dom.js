// Elements built by code: text is always text, so nothing typed or sent can become markup.

const SVG = "http://www.w3.org/2000/svg";

// el("p", { class: "soft", on: { click } }, "words", child, null)
export function el(tag, props = {}, ...kids) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (name === "on") {
      Object.entries(value).forEach(([kind, listener]) => node.addEventListener(kind, listener));
    } else if (value === true) {
      node.setAttribute(name, "");
    } else if (value !== null && value !== undefined && value !== false) {
      node.setAttribute(name, value);
    }
  }
  node.append(...kids.flat().filter((kid) => kid !== null && kid !== undefined && kid !== false && kid !== ""));
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

// A button; `key` lets a redrawn screen give the focus back to it.
export function button(words, onTap, { kind = "", pic = "", key = "", label = null, disabled = false } = {}) {
  const classes = ["button", ...kind.split(" ").filter(Boolean).map((one) => `button--${one}`)].join(" ");
  const props = { class: classes, type: "button", "data-key": key || words, "aria-label": label, disabled };
  return el("button", { ...props, on: { click: onTap } }, pic ? picture(pic) : null, el("span", {}, words));
}

export function notice(kind, ...kids) {
  const pic = { good: "good", careful: "caution", due: "bell" }[kind] ?? "note";
  const body = el("div", { class: "stack stack--tight" }, ...kids);
  return el("div", { class: kind ? `notice notice--${kind}` : "notice" }, picture(pic), body);
}

// Replace what is inside and leave the focus where the person had it.
export function redraw(place, ...kids) {
  const active = place.contains(document.activeElement) ? document.activeElement : null;
  const key = active?.dataset.key;
  place.replaceChildren(...kids.flat().filter(Boolean));
  const again = active?.isConnected ? active : key && [...place.querySelectorAll("[data-key]")].find((node) => node.dataset.key === key);
  again?.focus?.({ preventScroll: true });
}
