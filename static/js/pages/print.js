// The print button of the page for the fridge door; without a script the browser's own menu prints.
const press = document.querySelector("[data-print]");
if (press) {
  press.hidden = false;
  press.addEventListener("click", () => window.print());
}
