// Whether this phone trusts the server's certificate: a request over https either comes through or does not. Why it does
// not nobody tells a script: no trust yet, or a browser that lets no page ask in the home network.

const LOOK_EVERY_MS = 3000;
const box = document.querySelector("[data-trust]");
const said = document.querySelector("[data-trust-said]");

async function trusted() {
  try {
    // An answer that no script may read is enough: without trust there is none at all.
    await fetch(`${box.dataset.trust}/health/live`, { mode: "no-cors", cache: "no-store", credentials: "omit" });
    return true;
  } catch {
    return false;
  }
}

async function look() {
  if (document.visibilityState === "visible" && (await trusted())) {
    box.classList.add("notice--good");
    said.textContent = "This phone trusts the server. Open it, then add it to the home screen from the browser’s menu.";
    clearInterval(again);
  }
}

const again = setInterval(look, LOOK_EVERY_MS);
document.addEventListener("visibilitychange", look);
said.textContent = "Nothing heard over https yet. When the steps below are done, this turns green; in some browsers it never can: then open Suppertide, and where no warning comes this phone trusts it.";
look();
