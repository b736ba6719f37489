// The kitchen's time zone is a guess of the server until somebody says otherwise: offer this phone's own.

const offer = document.querySelector("[data-zone]");
const here = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";

/** Whether two zones show the same time all year round, as far as winter and summer tell. */
function sameTime(one, other) {
  const year = new Date().getUTCFullYear();
  const show = (zone, month) => new Date(Date.UTC(year, month, 15, 12)).toLocaleString("en-GB", { timeZone: zone });
  try {
    return [0, 3, 6, 9].every((month) => show(one, month) === show(other, month));
  } catch {
    return true; // a name this browser does not know: better no question than a wrong one
  }
}

if (offer && here.includes("/") && !here.startsWith("Etc/") && !sameTime(offer.dataset.zone, here)) {
  offer.querySelector("[name=zone]").value = here;
  offer.querySelector("[data-zone-name]").textContent = here.replaceAll("_", " ");
  offer.hidden = false;
}
