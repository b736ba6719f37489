// Notices over other pages: one for each step that is due, through the worker, gone when it is done or was heard.

import { nameOf } from "../step/step.js";

const shown = new Map(); // tag -> the ring that it is about

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
      shown.set(tagOf(ring), ring);
      const about = { body: nameOf(kitchen, bake), tag: tagOf(ring), icon: "/static/icons/mark-192.png", data: ring.bake_id, requireInteraction: true };
      await registration.showNotification(`Now: ${step.title}`, about).catch(() => shown.delete(tagOf(ring)));
    }
  }
}

// What is not due any more, or was heard, need not be said any longer.
export function takeNoticesAway(kitchen) {
  const due = new Set(kitchen.rings.filter((ring) => ring.stage === "due").map(tagOf));
  for (const tag of [...shown.keys()].filter((one) => !due.has(one))) {
    shown.delete(tag);
    close(tag);
  }
}

async function close(tag) {
  const registration = await navigator.serviceWorker?.getRegistration().catch(() => null);
  const notices = (await registration?.getNotifications?.({ tag }).catch(() => [])) ?? [];
  notices.forEach((one) => one.close());
}
