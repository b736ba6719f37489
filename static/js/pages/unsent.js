// A form that is sent while the server is away: the page stays as it is, with all that was typed, and says so, and when
// it can be sent. What was typed is also kept in this browser (never a password, never a file), for when the page is
// closed meanwhile and opened again.

const LOOK_EVERY_MS = 3000;
const PATIENCE_MS = 8000;
const LEFT = ["password", "file", "hidden", "submit", "button"]; // kinds of fields that are not kept

let sent = null; // the form that was sent last

const keyOf = (form) => `unsent ${location.pathname} ${form.getAttribute("action")}`;

document.addEventListener("submit", ({ target, defaultPrevented }) => {
  if (!defaultPrevented && target.method === "post") {
    sent = target;
    localStorage.removeItem(keyOf(target));
  }
});

// Told by the worker, which alone knows what became of it.
if ("BroadcastChannel" in self) {
  new BroadcastChannel("suppertide-unsent").addEventListener("message", ({ data }) => {
    if (sent && data === new URL(sent.action).pathname) {
      stay(sent);
    }
  });
}

/** Say at the form that nothing was sent, keep what is typed, and say when the server answers again. */
export async function stay(form) {
  keep(form);
  const said = note(form, "The server does not answer, so nothing was sent. What you typed stays here.");
  while (!(await answers())) {
    await new Promise((done) => setTimeout(done, LOOK_EVERY_MS));
  }
  said.textContent = "The server answers again. What you typed is still to be sent.";
}

function note(form, words) {
  const box = form.querySelector("[data-unsent]") ?? document.createElement("p");
  box.dataset.unsent = "";
  box.className = "notice notice--careful";
  box.setAttribute("role", "alert");
  box.textContent = words;
  const press = form.querySelector("button:not([type=button])");
  (press ?? form.lastElementChild).before(box);
  for (let fold = box.closest("details"); fold; fold = fold.parentElement.closest("details")) {
    fold.open = true;
  }
  box.scrollIntoView({ block: "nearest" });
  return box;
}

async function answers() {
  try {
    return (await fetch("/health/live", { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) })).ok;
  } catch {
    return false;
  }
}

const kept = (form) => [...form.elements].filter((field) => field.name && !LEFT.includes(field.type));

function keep(form) {
  const typed = kept(form).filter((field) => !/^(radio|checkbox)$/.test(field.type) || field.checked);
  const rows = typed.map((field) => [field.name, field.value]);
  try {
    localStorage.setItem(keyOf(form), JSON.stringify(rows));
  } catch {
    // A browser that keeps nothing: the page itself still holds it.
  }
}

/** Put these [name, value] rows into the fields of a form; those that nothing is said of are as they were, or off. */
export function typeAgain(form, rows) {
  for (const field of kept(form)) {
    const values = rows.filter(([name]) => name === field.name).map(([, value]) => value);
    if (field.type === "radio" || field.type === "checkbox") {
      field.checked = values.includes(field.value);
    } else if (values.length > 0) {
      field.value = values[0];
    }
  }
}

for (const form of document.querySelectorAll("form[method=post]")) {
  const rows = JSON.parse(localStorage.getItem(keyOf(form)) ?? "[]");
  localStorage.removeItem(keyOf(form));
  if (rows.length > 0) {
    typeAgain(form, rows);
    note(form, "You typed this before, while the server was away. It is still to be sent.");
  }
}
