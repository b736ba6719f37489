// The kitchen in Firefox with the server killed, and one whole evening from mixing to eating, by hand: Playwright's own Firefox is not a package of the system.
//
//   cd SOMEWHERE && npm install puppeteer-core          (and Firefox as the system has it, say firefox-esr)
//   FIREFOX=$(command -v firefox-esr) PYTHON=REPO/.venv/bin/python node REPO/e2e/by_hand/firefox.mjs
//
// CHROME=path instead of FIREFOX=path: the same in a Chromium, be it as old as the oldest that README names (with the puppeteer-core of its time).
// Run it in SOMEWHERE: puppeteer-core is looked for there. Says what it sees; ends with 1 when something is missing.

import { spawn } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const require = createRequire(join(process.cwd(), "here.js"));
const { default: puppeteer } = await import(pathToFileURL(require.resolve("puppeteer-core")).href);
const repo = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const PATIENCE_MS = 30000;

function start() {
  const data = mkdtempSync(join(tmpdir(), "suppertide-"));
  const server = spawn(process.env.PYTHON ?? "python3", ["-m", "webapp", "serve", "--port", "0", "--data", data], { cwd: repo });
  const url = new Promise((resolve, reject) => {
    let said = "";
    const hear = (text) => {
      said += text;
      const found = /Suppertide is at (http:\/\/127\.0\.0\.1:\d+)\//.exec(said);
      if (found) {
        resolve(found[1].replace("127.0.0.1", "localhost"));
      }
    };
    server.stdout.on("data", hear);
    server.stderr.on("data", hear);
    server.on("exit", () => reject(new Error(said)));
  });
  return { server, url };
}

// The words of an element, once they are what is wanted.
async function words(page, selector, wanted) {
  const until = Date.now() + PATIENCE_MS;
  let seen = "";
  while (Date.now() < until) {
    seen = (await page.evaluate((name) => document.querySelector(name)?.innerText ?? "", selector)).replace(/\s+/g, " ");
    if (wanted.test(seen)) {
      console.log(`ok: ${selector}: ${seen.slice(0, 160)}`);
      return seen;
    }
    await new Promise((done) => setTimeout(done, 50));
  }
  throw new Error(`${selector} should say ${wanted}, and says: ${seen.slice(0, 400)}`);
}

async function press(page, selector) {
  await Promise.all([page.waitForNavigation(), page.evaluate((name) => document.querySelector(name).click(), selector)]);
}

async function walk(page, url, kill) {
  const supper = `${new Date(Date.now() + 2 * 86400000).toISOString().slice(0, 10)}T19:30`;
  await page.goto(`${url}/?supper=${supper}`);
  await press(page, "main form[action='/take'] button[type=submit]");
  const id = new URL(page.url()).pathname.split("/").pop();
  await words(page, "[data-pack]", /^Packed for the kitchen/);
  await page.goto(`${url}/kitchen#${id}`);
  await words(page, "#now-title", /\S/);
  await words(page, ".tools", /Read the glass/);
  await words(page, ".tide-figure figcaption", /\S/);
  await kill();
  await page.goto("about:blank");
  await page.goto(`${url}/kitchen#${id}`);
  await words(page, "#now-title", /\S/);
  await words(page, ".tide-figure figcaption", /\S/);
  await words(page, "#notes", /The kitchen needs nothing from it/);
  await page.evaluate(() => document.querySelector("[data-key=done]").click());
  await words(page, "dialog h2", /before the plan/);
  await page.evaluate(() => document.querySelector("dialog [data-way], dialog [data-key=early-yes]").click());
  await words(page, ".undo-bar", /Take back/);
  await words(page, "#notes", /wait in this phone/);
  await page.goto("about:blank");
  await page.goto(`${url}/kitchen#${id}`);
  await words(page, ".undo-bar", /Take back/);
}

// Every step of a bake in its turn, each when it is due, with a real click on its button; the clock is ours. `PICTURES` names a
// folder for a picture of each.
async function evening(page, url) {
  await page.evaluateOnNewDocument("window.ahead = 0; const now = Date.now.bind(Date); Date.now = () => now() + window.ahead * 1000;");
  const supper = `${new Date(Date.now() + 86400000).toISOString().slice(0, 10)}T19:30`;
  await page.goto(`${url}/?supper=${supper}`);
  await press(page, "main form[action='/take'] button[type=submit]");
  const id = new URL(page.url()).pathname.split("/").pop();
  await page.goto(`${url}/kitchen#${id}`);
  await words(page, "#rings", /Closed, only your calendar rings/);
  let said = "";
  for (let turn = 1; (await page.evaluate(() => Boolean(document.querySelector("[data-step]")))); turn += 1) {
    const title = await words(page, "#now-title", /\S/);
    while (!(await page.evaluate(() => Boolean(document.querySelector(".card--due"))))) {
      await page.evaluate(() => { window.ahead += 120; dispatchEvent(new Event("focus")); });
    }
    await words(page, ".alarm", /It is time/);
    if (process.env.PICTURES) {
      await page.screenshot({ path: join(process.env.PICTURES, `${String(turn).padStart(2, "0")}.png`) });
    }
    const seen = await page.evaluate(measure);
    const wrong = Object.entries(seen).filter(([, bad]) => bad).map(([name, bad]) => `${name}: ${bad}`);
    console.log(`${wrong.length > 0 ? "WRONG" : "ok"}: ${title} ${wrong.join(", ")}`);
    process.exitCode ||= wrong.length > 0 ? 1 : 0;
    const { x, y } = await page.evaluate(() => {
      const box = document.querySelector("[data-key=done]").getBoundingClientRect();
      return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    });
    await page.mouse.click(x, y);
    await page.mouse.click(x, y); // the second click of a double one says nothing
    said = await words(page, "#screen", /Take back|All done/);
    await page.evaluate((before) => new Promise((done) => {
      const look = () => (document.querySelector("#now-title")?.innerText.replace(/\s+/g, " ") !== before ? done() : setTimeout(look, 20));
      look();
    }), title);
    await page.evaluate(() => new Promise((done) => setTimeout(done, 700)));
  }
  const done = await page.evaluate((bake) => new Promise((resolve) => {
    const open = indexedDB.open("suppertide");
    open.onsuccess = () => {
      const ask = open.result.transaction("events").objectStore("events").getAll();
      ask.onsuccess = () => resolve(ask.result.filter((event) => event.bake_id === bake && event.kind === "done").map((event) => event.data.step_id));
    };
  }), id);
  console.log(`${done.length} steps said, each once: ${new Set(done).size === done.length}; ${said.slice(0, 60)}`);
  process.exitCode ||= new Set(done).size === done.length ? 0 : 1;
}

// What a person would notice of the screen as it stands; "" or false for what is right.
function measure() {
  const box = document.querySelector("[data-key=done]").getBoundingClientRect();
  const rail = document.querySelector(".rail").getBoundingClientRect();
  const title = document.querySelector("#now-title").getBoundingClientRect();
  const dock = document.querySelector("#alarm").getBoundingClientRect();
  const small = [...document.querySelectorAll("#screen button")].filter((node) => node.offsetParent && (node.getBoundingClientRect().height < 47.5 || node.getBoundingClientRect().width < 47.5));
  return {
    "the button is out of sight": box.top < 0 || box.bottom > rail.top + 1,
    "the title is out of sight": title.top < 0 || title.bottom > dock.top,
    "sideways scroll": document.documentElement.scrollWidth > innerWidth,
    "under 48 pixels": small.map((node) => node.innerText).join("|"),
  };
}

const { server, url } = start();
const gone = new Promise((resolve) => server.on("close", resolve));
const kill = () => (server.kill("SIGKILL"), gone);
const chromium = { executablePath: process.env.CHROME, headless: true, args: ["--no-sandbox", "--disable-gpu", "--single-process", "--no-zygote"] };
const browser = await puppeteer.launch(process.env.CHROME ? chromium : { browser: "firefox", executablePath: process.env.FIREFOX ?? "firefox", headless: true });
try {
  const page = await browser.newPage();
  page.on("pageerror", (error) => console.log("page error:", error.message));
  await page.setViewport({ width: 390, height: 844 });
  await evening(page, await url);
  console.log("One evening is over.");
  const cold = await browser.newPage();
  await cold.setViewport({ width: 390, height: 844 });
  await walk(cold, await url, kill);
  console.log("The kitchen works with the server killed.");
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
} finally {
  await browser.close();
  await kill();
}
