// The phone's own copy: bundles, events, a few words about this phone. IndexedDB, or memory where there is none.

const NAME = "suppertide";
const DB_VERSION = 2; // 1: bundles, events; 2: meta, and events can be found by whether they were sent

const DISK_PATIENCE_MS = 3000; // where the screen waits for it
const DISK_HANGS_MS = 15000; // where nobody does: a slow one may take its time, one that hangs must not stop the sending

// What does not answer in time is as good as not there.
export function inTime(promise, patience_ms = DISK_PATIENCE_MS) {
  let timer = 0;
  const slow = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new DOMException("no answer", "TimeoutError")), patience_ms);
  });
  return Promise.race([promise, slow]).finally(() => clearTimeout(timer));
}

// { kind: "kept" | "memory", why, found, ... }: `why` says in one word what stood in the way of keeping; `found` is what was in it
// when it opened: the few words, and the bake that is asked for `first` (all of them where none is). A database that does not
// answer is waited for behind the screen: `onLate(store)` when it does after all.
export async function openStore({ onLate = null, first = "" } = {}) {
  const opening = open().then((db) => answering(db, first));
  try {
    return await inTime(opening);
  } catch (error) {
    opening.then((store) => (onLate ? onLate(store) : store.close()), () => {});
    return memoryStore({ VersionError: "newer", BlockedError: "blocked", TimeoutError: "slow" }[error?.name] ?? "none");
  }
}

// A database that opens may still answer nothing that is asked: it is open once it has.
// That answer is all that the first view needs, in one transaction.
async function answering(db, first) {
  const all = db.transaction(["meta", "bundles", "events"]);
  const [meta, packed, said] = ["meta", "bundles", "events"].map((name) => all.objectStore(name));
  const words = Promise.all([answer(meta.getAllKeys()), answer(meta.getAll())]);
  const bundles = await answer(packed.getAll(first || null));
  const events = await Promise.all(bundles.map(({ plan }) => answer(said.index("bake").getAll(plan.bake_id))));
  const [keys, values] = await words;
  return { ...keptStore(db), found: { meta: new Map(keys.map((key, i) => [key, values[i]])), bundles, events } };
}

// An older window that holds the database is said at once; when it lets go, a connection nobody waits for is closed.
function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, DB_VERSION);
    let blocked = false;
    request.onupgradeneeded = (event) => upgrade(request, event.oldVersion);
    request.onsuccess = () => (blocked ? request.result.close() : resolve(request.result));
    request.onerror = () => reject(request.error);
    request.onblocked = () => {
      blocked = true;
      reject(new DOMException("another window holds an older database", "BlockedError"));
    };
  });
}

// Each step takes the layout one version on; nothing that is in there is touched.
function upgrade(request, from) {
  const db = request.result;
  if (from < 1) {
    db.createObjectStore("bundles", { keyPath: "plan.bake_id" });
    db.createObjectStore("events", { keyPath: "event_id" }).createIndex("bake", "bake_id");
  }
  if (from < 2) {
    db.createObjectStore("meta");
    const events = request.transaction.objectStore("events");
    events.createIndex("sent", "sent");
    // What version 1 wrote does not say whether it was sent; sending again changes nothing.
    events.openCursor().onsuccess = ({ target: { result: cursor } }) => {
      if (cursor) {
        cursor.update({ sent: 0, ...cursor.value });
        cursor.continue();
      }
    };
  }
}

function keptStore(first) {
  let db = watched(first);
  let lost = false; // taken away by the browser (some do while the phone sleeps): opened again when it is needed

  function watched(opened) {
    opened.onclose = () => {
      lost = true;
    };
    // A newer version of the app in another window wants the database: let go, and say so.
    opened.onversionchange = () => {
      opened.close();
      dispatchEvent(new CustomEvent("store-closed"));
    };
    return opened;
  }

  let opening = null; // one at a time, or connections would pile up

  async function ready() {
    if (lost) {
      opening ??= open().finally(() => (opening = null));
      const again = await opening;
      if (lost) {
        db = watched(again);
        lost = false;
      }
    }
    return db;
  }

  const read = (name, ask) => inTime(ready().then((open) => answer(ask(open.transaction(name).objectStore(name)))), DISK_HANGS_MS);
  const write = (name, change) => inTime(ready().then((open) => transact(open, name, change)), DISK_HANGS_MS);
  return {
    kind: "kept",
    why: "",
    bundles: () => read("bundles", (store) => store.getAll()),
    bundle: (id) => read("bundles", (store) => store.get(id)),
    putBundle: (bundle) => write("bundles", (store) => store.put(bundle)),
    dropBake: async (id) => dropBake(await ready(), id),
    events: (id) => read("events", (store) => store.index("bake").getAll(id)),
    unsent: () => read("events", (store) => store.index("sent").getAll(0)),
    addEvents: (events) => write("events", (store) => events.forEach((event) => store.put(event))),
    meta: (key) => read("meta", (store) => store.get(key)),
    setMeta: (key, value) => write("meta", (store) => store.put(value, key)),
    // `change`: what was there -> what is from now on; of two windows one after the other.
    changeMeta: (key, change) => write("meta", (store) => (store.get(key).onsuccess = ({ target }) => store.put(change(target.result), key))),
    close: () => db.close(),
  };
}

function answer(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

// Resolved only when the transaction is complete: what was answered for is on the disk.
function transact(db, name, change) {
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(name, "readwrite", { durability: "strict" });
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new DOMException("aborted", "AbortError"));
    change(transaction.objectStore(name));
  });
}

// A bake leaves with its journal, and only when the server has all of that: what was never sent stays, and so does it.
function dropBake(db, id) {
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(["bundles", "events"], "readwrite");
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error);
    const events = transaction.objectStore("events");
    events.index("bake").getAll(id).onsuccess = ({ target: { result: rows } }) => {
      if (rows.every((event) => event.sent === 1)) {
        rows.forEach((event) => events.delete(event.event_id));
        transaction.objectStore("bundles").delete(id);
      }
    };
  });
}

function memoryStore(why) {
  const bundles = new Map();
  const events = new Map();
  const meta = new Map();
  return {
    kind: "memory",
    why,
    found: { meta, bundles: [], events: [] },
    bundles: async () => [...bundles.values()],
    bundle: async (id) => bundles.get(id),
    putBundle: async (bundle) => void bundles.set(bundle.plan.bake_id, bundle),
    dropBake: async () => {}, // what is only here while the page is open need not make room
    events: async (id) => [...events.values()].filter((event) => event.bake_id === id),
    unsent: async () => [...events.values()].filter((event) => event.sent === 0),
    addEvents: async (list) => list.forEach((event) => events.set(event.event_id, event)),
    meta: async (key) => meta.get(key),
    setMeta: async (key, value) => void meta.set(key, value),
    changeMeta: async (key, change) => void meta.set(key, change(meta.get(key))),
    close: () => {},
  };
}
