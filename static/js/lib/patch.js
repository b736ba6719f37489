// A screen drawn anew is compared with the one that stands there, and only what differs is changed: focus, selected text
// and the button under a finger stay what they were. Nothing is ever replaced by its equal.

import { hearLike, isKept, keyOf } from "./dom.js";

// Attributes that belong to the person once the element is there.
const THEIRS = { DETAILS: ["open"], DIALOG: ["open"], INPUT: ["value", "checked"], TEXTAREA: ["value"] };

// Make what is inside `place` look and answer like these nodes.
export function patch(place, ...nodes) {
  const active = place.contains(document.activeElement) ? document.activeElement : null;
  const key = active ? keyOf(active) : "";
  insides(place, nodes.flat().filter(Boolean));
  if (active && active !== document.activeElement) {
    const again = active.isConnected ? active : key && [...place.querySelectorAll("[data-key]")].find((node) => keyOf(node) === key);
    again?.focus?.({ preventScroll: true });
  }
}

function insides(place, wanted) {
  const stays = pairs([...place.childNodes], wanted);
  const kept = new Set(stays.values());
  for (const node of [...place.childNodes]) {
    if (!kept.has(node)) {
      node.remove();
    }
  }
  let at = place.firstChild;
  for (const fresh of wanted) {
    const old = stays.get(fresh);
    if (old && old !== fresh && !isKept(fresh)) {
      become(old, fresh);
    }
    if (old && old === at) {
      at = at.nextSibling;
    } else {
      place.insertBefore(old ?? fresh, at);
    }
  }
}

// Which of the nodes that stand there is which of the wanted ones: by key, else the next one of the same kind.
function pairs(there, wanted) {
  const free = new Map();
  for (const node of there) {
    const name = nameOf(node);
    free.set(name, [...(free.get(name) ?? []), node]);
  }
  const out = new Map();
  for (const fresh of wanted) {
    const old = there.includes(fresh) ? fresh : free.get(nameOf(fresh))?.find((node) => !taken(out, wanted, node));
    if (old) {
      out.set(fresh, old);
      free.get(nameOf(old)).splice(free.get(nameOf(old)).indexOf(old), 1);
    }
  }
  return out;
}

// A node that is itself wanted again is nobody else's.
const taken = (out, wanted, node) => wanted.includes(node) && !out.has(node);

// Tag and first class: a notice never turns into a list, a button of one key never into that of another.
function nameOf(node) {
  const kind = node.nodeType === Node.ELEMENT_NODE ? (node.getAttribute("class") ?? "").split(" ")[0] : "";
  return `${node.nodeName} ${kind} ${keyOf(node)}`;
}

function become(old, fresh) {
  if (old.nodeType !== Node.ELEMENT_NODE) {
    if (old.data !== fresh.data) {
      old.data = fresh.data;
    }
    return;
  }
  const theirs = THEIRS[old.nodeName] ?? [];
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !theirs.includes(name)) {
      old.removeAttribute(name);
    }
  }
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) !== value && !theirs.includes(name)) {
      old.setAttribute(name, value);
    }
  }
  hearLike(old, fresh);
  insides(old, [...fresh.childNodes]);
}
