// The worker: keeps the kitchen shell, whole or not at all, and answers for nothing else. The server fills in the
// version and the list of files with their SHA-256 (webapp/web/phone/shell.py).

const VERSION = "VERSION";
const FILES = "FILES";
const PREFIX = "suppertide-shell-";
const CACHE = PREFIX + VERSION;
const KITCHEN = "/kitchen";
const CALENDARS = "suppertide-calendars";
const CALENDAR = /^\/bakes\/[^/]+\/bake\.ics$/;

self.addEventListener("install", (event) => {
  event.waitUntil(pack());
  // Where the browser can, it reads the shell from the cache by itself, without waking this worker first.
  const kept = [{ pathname: KITCHEN, search: "" }, { pathname: `/shell/${VERSION}/*` }];
  const routes = kept.map((urlPattern) => ({ condition: { urlPattern }, source: { cacheName: CACHE } }));
  event.addRoutes?.(routes).catch(() => {});
});

// All files or none: one that is missing, or is not of this version, and the old shell stays in use.
async function pack() {
  const answers = await Promise.all(Object.entries(FILES).map(([url, digest]) => fetched(url, digest)));
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(answers.map(([url, response]) => cache.put(url, response)));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

// What the page has just loaded need not come a second time: the digest says whether it is the right one.
async function fetched(url, digest) {
  return (await answered(url, digest, "default")) ?? (await answered(url, digest, "reload")) ?? refuse(url);
}

function refuse(url) {
  throw new Error(`${url} is not what this version needs`);
}

async function answered(url, digest, cache) {
  const response = await fetch(url, { cache, redirect: "error" });
  const body = await response.arrayBuffer();
  if (!response.ok || (await sha256(body)) !== digest) {
    return undefined;
  }
  const type = response.headers.get("Content-Type");
  const policy = response.headers.get("Content-Security-Policy");
  const headers = policy ? { "Content-Type": type, "Content-Security-Policy": policy } : { "Content-Type": type };
  return [url, new Response(body, { headers })];
}

async function sha256(body) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
  return btoa(String.fromCharCode(...bytes));
}

self.addEventListener("activate", (event) => event.waitUntil(takeOver()));

async function takeOver() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

// A new version waits until the screen says that no step is running and the person wants it.
self.addEventListener("message", (event) => {
  if (event.data === "take over") {
    self.skipWaiting();
  } else if (event.data === "version") {
    event.ports[0]?.postMessage(VERSION);
  } else if (event.data === "whole") {
    // A page that was just opening when this worker came to be was passed over by its claim: so it asks, and is claimed.
    event.waitUntil(self.clients.claim().then(made).then((whole) => event.ports[0]?.postMessage(whole)));
  }
});

// A browser may sweep the cache away and keep the worker: then all of it is fetched again.
const made = async () => (await isWhole()) || pack().then(isWhole, () => false);

// Every file of this version is in the cache.
async function isWhole() {
  const cache = await caches.open(CACHE);
  const found = await Promise.all(Object.keys(FILES).map((url) => cache.match(url)));
  return found.every(Boolean);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.mode === "navigate" && request.method === "POST") {
    event.respondWith(fetch(request).catch(() => unsent(url.pathname)));
  }
  if (request.method !== "GET" || url.origin !== self.location.origin) {
    return;
  }
  const kept = url.pathname === KITCHEN || url.pathname in FILES;
  if (kept) {
    event.respondWith(fromShell(url.pathname, request));
  } else if (CALENDAR.test(url.pathname)) {
    event.respondWith(calendar(url.pathname, request));
  } else if (request.mode === "navigate" && isPage(url.pathname)) {
    event.respondWith(fetch(request).catch(() => awayToKitchen(url.pathname + url.search)));
  }
});

async function fromShell(path, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}

// A bake's calendar file: the server's whenever it answers, else the one from when the bake was packed.
async function calendar(path, request) {
  const cache = await caches.open(CALENDARS);
  try {
    const fresh = await fetch(request);
    await (fresh.ok ? cache.put(path, fresh.clone()) : cache.delete(path));
    return fresh;
  } catch (error) {
    return (await cache.match(path)) ?? Promise.reject(error);
  }
}

// Calendars, the API and downloads are never answered by the shell.
const isPage = (path) => !path.startsWith("/api/") && !/\.[a-z0-9]+$/i.test(path) && !path.startsWith("/feed/");

// The server is out of reach: the kitchen opens instead, and says which page could not.
const awayToKitchen = (path) => Response.redirect(`${KITCHEN}?instead=${encodeURIComponent(path)}`, 302);

// A form that could not be sent: with an answer that is empty its page stays, with all that was typed, and says so.
function unsent(path) {
  new BroadcastChannel("suppertide-unsent").postMessage(path);
  return new Response(null, { status: 204 });
}

// A push message rings even with every page closed; one about the same step takes the place of the one before.
self.addEventListener("push", (event) => event.waitUntil(showMessage(event.data)));

async function showMessage(data) {
  let said = {};
  try {
    said = data.json();
  } catch {
    // A message that cannot be read still has to show something: a browser that promised shows it promised the person.
  }
  await self.registration.showNotification(said.title || "Something is due in the kitchen", {
    body: said.body || "Open the kitchen to see what.",
    tag: said.tag || "due",
    renotify: true,
    requireInteraction: true,
    icon: "/static/icons/mark-192.png",
    data: said.bake || "",
  });
}

self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(bringForward(event.notification.data));
});

// The notice's own bake, whichever is on the screen of the window that is brought forward.
async function bringForward(bake) {
  const open = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const kitchens = open.filter((client) => new URL(client.url).pathname === KITCHEN);
  const kitchen = kitchens.find((client) => bake && client.url.endsWith(`#${bake}`)) ?? kitchens[0];
  if (!kitchen) {
    return self.clients.openWindow(bake ? `${KITCHEN}#${bake}` : KITCHEN);
  }
  if (bake) {
    kitchen.postMessage({ open: bake });
  }
  return kitchen.focus();
}
