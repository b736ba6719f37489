// Sliders under the offers: as one is let go, the offers are asked for anew and put in place. The server plans; nothing
// is reckoned here. The pick buttons rest while an answer is under way, so that nobody takes a day they have not seen.

const form = document.querySelector("[data-what-if]");
const place = document.getElementById("offers");
let asked = 0;

function words(input) {
  const value = Number(input.value);
  if (input.name === "room") {
    return `${value} ${form.dataset.unit}`;
  }
  const [hour, minute] = [Math.floor(value / 60) % 24, String(value % 60).padStart(2, "0")];
  if (form.dataset.clock === "12") {
    return `${((hour + 11) % 12) + 1}:${minute} ${hour < 12 ? "am" : "pm"}`;
  }
  return `${String(hour).padStart(2, "0")}:${minute}`;
}

function say(input) {
  input.setAttribute("aria-valuetext", words(input));
  document.getElementById(`${input.id}-at`).textContent = words(input);
}

async function ask() {
  asked += 1;
  const mine = asked;
  place.setAttribute("aria-busy", "true");
  place.querySelectorAll("button").forEach((button) => (button.disabled = true));
  try {
    const response = await fetch(form.action, { method: "POST", body: new FormData(form), headers: { "X-Part": "offers" } });
    const text = await response.text();
    if (mine === asked && (response.ok || response.status === 422)) {
      // The server's own page, escaped there like any other.
      place.innerHTML = text;
    }
  } catch {
    form.querySelector("[data-what-if-ask]").hidden = false; // no answer: the button sends the form once more
  } finally {
    if (mine === asked) {
      place.removeAttribute("aria-busy");
      place.querySelectorAll("button").forEach((button) => (button.disabled = false));
    }
  }
}

if (form && place) {
  form.querySelector("[data-what-if-ask]").hidden = true;
  for (const input of form.querySelectorAll("input[type=range]")) {
    input.addEventListener("input", () => say(input));
    input.addEventListener("change", ask);
  }
}
