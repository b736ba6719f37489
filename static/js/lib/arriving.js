// What is fetched later: what does not arrive is asked for again, at first soon and then seldom, and whenever the network or
// the person comes back. Somebody is told for as long as any is missing.

const SOON_MS = 1000;
const SELDOM_MS = 30000;

export class Arriving {
  missing = 0;
  tell = () => {};

  // `tell(true | null)`: something is missing, or nothing is.
  constructor(tell) {
    this.tell = tell;
  }

  // `load` is () => import("..."); answers when it is here, however long that takes.
  async take(load, seldom_ms = SELDOM_MS) {
    for (let pause = SOON_MS, told = false; ; pause = Math.min(pause * 2, seldom_ms)) {
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

const COMES_BACK = ["online", "focus", "visibilitychange"];

function later(pause) {
  return new Promise((done) => {
    const go = () => {
      clearTimeout(timer);
      COMES_BACK.forEach((kind) => removeEventListener(kind, go));
      done();
    };
    const timer = setTimeout(go, pause);
    COMES_BACK.forEach((kind) => addEventListener(kind, go)); // what happens to the document comes up to the window
  });
}
