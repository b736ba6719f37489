// The screen stays lit while it is wanted. The phone takes the lamp back whenever the page is hidden.

let wanted = false;
let lamp = null;
let asking = false;

export function holdLamp(on) {
  wanted = on;
  if (on) {
    take();
  } else {
    lamp?.release().catch(() => {});
    lamp = null;
  }
}

async function take() {
  if (lamp || asking || !("wakeLock" in navigator) || document.visibilityState !== "visible") {
    return;
  }
  asking = true;
  try {
    const taken = await navigator.wakeLock.request("screen");
    taken.addEventListener("release", () => {
      lamp = lamp === taken ? null : lamp;
    });
    lamp = taken;
    if (!wanted) {
      holdLamp(false);
    }
  } catch {
    // battery saver, or the page was hidden meanwhile: the next look asks again
  } finally {
    asking = false;
  }
}
