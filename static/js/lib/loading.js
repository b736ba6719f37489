// Scripts that are fetched later: one that does not arrive is asked for again, at first soon and then each half minute, and
// whenever the network comes back. Somebody is told for as long as any is missing.

const SOON_MS = 1000;
const SELDOM_MS = 30000;

export class Loading {
  missing = 0;
  tell = () => {};

  // `tell(true | null)`: something is missing, or nothing is.
  constructor(tell) {
    this.tell = tell;
  }

  // `load` is () => import("..."); answers when the script is here, however long that takes.
  async take(load) {
    for (let pause = SOON_MS, told = false; ; pause = Math.min(pause * 2, SELDOM_MS)) {
      try {
        const part = await load();
        this.count(told ? -1 : 0);
        return part;
      } catch (error) {
        console.warn(error);
        this.count(told ? 0 : 1);
        told = true;
        await later(pause);
      }
    }
  }

  count(by) {
    if (by !== 0) {
      this.missing += by;
      this.tell(this.missing > 0 || null);
    }
  }
}

function later(pause) {
  return new Promise((done) => {
    const go = () => {
      clearTimeout(timer);
      removeEventListener("online", go);
      done();
    };
    const timer = setTimeout(go, pause);
    addEventListener("online", go);
  });
}
