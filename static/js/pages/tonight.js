// The home page with scripts: a question slides up as a sheet, and its answer is worked out in place. The server plans;
// nothing is reckoned here. Without scripts the same links lead to small pages and back.

const place = document.getElementById("tonight");
const unsent = import("./unsent.js"); // nothing that the first view waits for; nor this, which asks when the clocks differ:
import("./zone.js");
let asked = 0;

async function part(url, name) {
  const response = await fetch(url, { headers: { "X-Part": name } });
  if (!response.ok && response.status !== 422) {
    throw new Error(`the server answers ${response.status}`);
  }
  return { ok: response.ok, html: await response.text() };
}

// The day at that address, in place: the server's own page, escaped there like any other. Where an answer is not
// understood, its question again. True when the day is shown; what was asked later wins.
async function show(url, keep = true) {
  asked += 1;
  const mine = asked;
  place.setAttribute("aria-busy", "true");
  try {
    const { ok, html } = await part(url, "day");
    if (mine !== asked) {
      return false;
    }
    if (!ok) {
      sheet(html);
      return false;
    }
    place.innerHTML = html;
    if (keep) {
      if (place.getBoundingClientRect().top < 0) {
        place.scrollIntoView({ block: "start" }); // what was tapped stood below the answer
      }
      history.pushState({ day: true }, "", url);
    }
    return true;
  } finally {
    if (mine === asked) {
      place.removeAttribute("aria-busy");
    }
  }
}

async function swap(url, keep = true) {
  try {
    await show(url, keep);
  } catch {
    location.assign(url);
  }
}

const MEASURES = { other_length: "rectangle", other_width: "rectangle", other_water_g: "measured" }; // of another pan
const drafts = new Map(); // what is half typed, by question

// `again`: the question as it was asked before, so that what was typed and not sent stands in it.
function sheet(html, again = false) {
  const from = document.activeElement;
  const box = document.querySelector("dialog.ask-sheet") ?? document.body.appendChild(document.createElement("dialog"));
  box.className = "ask-sheet";
  box.setAttribute("aria-labelledby", "question-title");
  box.innerHTML = html;
  const close = document.createElement("button");
  close.type = "button";
  close.className = "button button--quiet ask-sheet__close";
  close.textContent = "Close";
  close.addEventListener("click", () => box.close());
  box.append(close);
  const form = box.querySelector("[data-answer]");
  const title = box.querySelector("#question-title").textContent;
  form.addEventListener("submit", answer);
  form.addEventListener("click", ({ target, detail }) => {
    // A finger that picks other hours is led to where they are typed; arrow keys go through the list undisturbed.
    if (detail && target.closest("label")?.querySelector("[value='differ']")) {
      form.elements.away.focus();
    }
  });
  form.addEventListener("input", ({ target }) => {
    mean(form, target);
    drafts.set(title, [...new FormData(form)]);
  });
  if (again && drafts.has(title)) {
    unsent.then(({ typeAgain }) => typeAgain(form, drafts.get(title)));
  }
  box.onclick = (event) => {
    if (event.target === box && isBeside(box, event)) {
      box.close(); // what is half typed stands there again
    }
  };
  box.onclose = () => {
    box.remove();
    const back = from?.isConnected ? from : place.querySelector("h1 a");
    back?.focus?.({ preventScroll: true });
  };
  if (!box.open) {
    box.showModal();
  }
  (box.querySelector("#mistakes") ?? box.querySelector("#question-title"))?.focus();
}

function isBeside(box, { clientX, clientY }) {
  const { left, right, top, bottom } = box.getBoundingClientRect();
  return clientX < left || clientX > right || clientY < top || clientY > bottom;
}

// What is typed is meant, as the server takes it (forms/wish.py), and is seen to be chosen.
function mean(form, { name, value }) {
  const differ = name === "away" && form.querySelector("[value='differ']");
  if (differ) {
    differ.checked = true;
  }
  if (name === "other_count" && value > 1) {
    form.elements.at_once.closest("details").open = true; // how many of them bake together is asked there
  }
  const shape = value && MEASURES[name];
  if (shape && !form.elements.other_shape.value) {
    form.elements.other_shape.value = shape;
  }
}

async function answer(event) {
  event.preventDefault();
  const form = event.currentTarget;
  const url = `${form.getAttribute("action")}?${new URLSearchParams(new FormData(form))}`;
  const box = form.closest("dialog");
  box.setAttribute("aria-busy", "true");
  try {
    if (await show(url)) {
      drafts.clear();
      box.close();
    }
  } catch {
    unsent.then(({ stay }) => stay(form));
  } finally {
    box.removeAttribute("aria-busy");
  }
}

function plain(event) {
  return event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;
}

place?.addEventListener("click", async (event) => {
  const link = event.target.closest("a[data-ask], a[data-swap]");
  if (!link || !plain(event) || !window.HTMLDialogElement) {
    return;
  }
  event.preventDefault();
  if ("swap" in link.dataset) {
    await swap(link.href);
    place.querySelector("h1 a, .near a")?.focus({ preventScroll: true });
    return;
  }
  try {
    sheet((await part(link.href, "question")).html, true);
  } catch {
    location.assign(link.href);
  }
});

window.addEventListener("popstate", () => swap(location.href, false));
