// The print button of the page for the fridge door; without a script the browser's own menu prints. On a phone its parts
// are folded up, so that it is seen at a glance what will be on the paper; for the paper all of them are open.
const press = document.querySelector("[data-print]");
if (press) {
  press.hidden = false;
  press.addEventListener("click", () => window.print());
}

const parts = [...document.querySelectorAll(".sheet__fold")];
const narrow = matchMedia("screen and (max-width: 45.99rem)");
const unfold = (open) => parts.forEach((part) => { part.open = open; });
if (narrow.matches) {
  unfold(false);
}
const folded = new Set();
addEventListener("beforeprint", () => {
  parts.filter((part) => !part.open).forEach((part) => folded.add(part));
  unfold(true);
});
addEventListener("afterprint", () => {
  folded.forEach((part) => { part.open = false; });
  folded.clear();
});
