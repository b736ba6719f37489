// The worker that keeps the shell: registered, asked for news, and told to take over only when the person says so.

// `onUpdate({ take } | null)` when a new version waits; `onInsecure()` where a browser keeps nothing.
export async function keepShell(onUpdate, onInsecure) {
  if (!("serviceWorker" in navigator)) {
    if (!isSecureContext) {
      onInsecure();
    }
    return;
  }
  let registration = null;
  try {
    registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  } catch {
    return; // no server just now, or a private window: the next visit tries again
  }
  offer(registration, onUpdate);
  registration.addEventListener("updatefound", () => {
    const coming = registration.installing;
    coming?.addEventListener("statechange", () => coming.state === "installed" && offer(registration, onUpdate));
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") {
      registration.update().catch(() => {});
    }
  });
}

function offer(registration, onUpdate) {
  // The very first worker has nobody to replace and takes over by itself.
  if (!registration.waiting || !navigator.serviceWorker.controller) {
    return;
  }
  const take = () => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
    registration.waiting?.postMessage("take over");
  };
  onUpdate({ take });
}
