// Notices over other pages: one for each step that is due, through the worker, gone when it is done or was heard.

import { nameOf } from "../step/step.js";

const shown = new Set(); // tags
let last = null; // what was due when notices were gone through

const tagOf = (ring) => `due ${ring.bake_id} ${ring.step_id}`;
const granted = () => "Notification" in self && Notification.permission === "granted";

export async function tellOutside(kitchen, rings) {
  if (!granted()) {
    return;
  }
  const registration = await navigator.serviceWorker?.getRegistration().catch(() => null);
  for (const ring of rings.filter((one) => registration && !shown.has(tagOf(one)))) {
    const bake = kitchen.bakes.get(ring.bake_id);
    const step = bake?.plan.steps.find((one) => one.step_id === ring.step_id);
    if (step) {
      shown.add(tagOf(ring));
      const about = { body: nameOf(kitchen, bake), tag: tagOf(ring), icon: "/static/icons/mark-192.png", data: ring.bake_id, requireInteraction: true };
      await registration.showNotification(`${kitchen.phrase("now")}: ${step.title}`, about).catch(() => shown.delete(tagOf(ring)));
    }
  }
}

// What is not due any more, or was heard, need not be said any longer, also what was shown before this page was loaded.
export function takeNoticesAway(kitchen) {
  const due = kitchen.rings.filter((ring) => ring.stage === "due").map(tagOf);
  if (due.join() !== last) {
    last = due.join();
    shown.forEach((tag) => due.includes(tag) || shown.delete(tag));
    close(due);
  }
}

// Of ours, all that is not due.
async function close(due) {
  const registration = await navigator.serviceWorker?.getRegistration().catch(() => null);
  const notices = (await registration?.getNotifications?.().catch(() => [])) ?? [];
  notices.filter(({ tag }) => tag.startsWith("due ") && !due.includes(tag)).forEach((one) => one.close());
}
