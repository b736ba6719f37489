// What leaves the page of a bake. Hand the plan to whoever eats along: the phone's own share sheet, else the clipboard.
const press = document.querySelector("[data-share]");
const said = document.querySelector("[data-share-said]");

async function share() {
  const { shareTitle: title, shareText: text } = press.dataset;
  try {
    if (navigator.share) {
      await navigator.share({ title, text });
    } else {
      await navigator.clipboard.writeText(text);
      said.textContent = "Copied: the steps with their times.";
    }
  } catch (error) {
    if (error.name !== "AbortError") {
      said.textContent = "This browser would not share it. The page for the fridge door can be sent instead.";
    }
  }
}

if (press && (navigator.share || navigator.clipboard)) {
  press.hidden = false;
  press.addEventListener("click", share);
}

// A file that is handed over shows nothing by itself: what has become of the tap is said below it.
for (const link of document.querySelectorAll("[data-then]")) {
  link.addEventListener("click", () => {
    const place = document.getElementById(link.dataset.then);
    place.textContent = place.dataset.said;
  });
}

// Who came here by a tap that asked for it need not tap again; gone back to, the page is as any other.
const asked = document.querySelector("form[data-at-once]");
if (asked) {
  history.replaceState(null, "", location.pathname);
  asked.requestSubmit();
}
