// A field sheet as a page, in real browsers: opened from disk or from a server,
// filled in, saved, killed, without storage, in other languages, magnified, by
// keyboard, and held against the rules for accessibility of axe-core.
//
// Reads {"does", "browser", "program", "url", ...} from standard input and writes
// one JSON object. Modules are looked for in NODE_PATH.
const fs = require("fs");
const path = require("path");
const puppeteer = require("puppeteer-core");

const sizes = {
  phone: { width: 390, height: 844, hasTouch: true, isMobile: true },
  tablet: { width: 1024, height: 768, hasTouch: true, isMobile: false },
  side: { width: 844, height: 390, hasTouch: true, isMobile: true }, // a telephone on its side
};
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

async function launch(q, more = {}) {
  const firefox = q.browser === "firefox";
  if (q.letters) { // how large somebody set them in the browser, in pixels
    fs.mkdirSync(path.join(q.profile, "Default"), { recursive: true });
    fs.writeFileSync(path.join(q.profile, "Default", "Preferences"), JSON.stringify({ webkit: { webprefs: { default_font_size: q.letters } } }));
  }
  return puppeteer.launch({
    browser: firefox ? "firefox" : "chrome", executablePath: q.program, headless: true, userDataDir: q.profile,
    args: firefox ? [] : ["--no-sandbox", "--disable-gpu", ...(q.lang ? ["--lang=" + q.lang] : [])],
    env: { ...process.env, LANGUAGE: q.lang || "en", LANG: (q.lang || "en_US") + ".UTF-8" },
    extraPrefsFirefox: { "browser.download.folderList": 2, "browser.download.dir": q.folder, "browser.helperApps.neverAsk.saveToDisk": "text/html", "browser.download.always_ask_before_handling_new_types": false, "intl.accept_languages": q.lang || "en" },
    protocolTimeout: 60000, ...more,
  });
}

// open opens the page at a size and waits until it can be filled in and judged.
async function open(q, browser, size = q.size || "phone", before, until = ready) {
  const page = await browser.newPage();
  const seen = { errors: [], requests: [] };
  page.on("pageerror", (e) => seen.errors.push(String(e.message || e)));
  page.on("console", (m) => m.type() === "error" && seen.errors.push(m.text()));
  if (q.browser !== "firefox") page.on("request", (r) => seen.requests.push(r.url().slice(0, 60)));
  if (q.browser !== "firefox") await page.setViewport(sizes[size]);
  else await page.setViewport({ width: sizes[size].width, height: sizes[size].height });
  if (before) await before(page);
  await page.goto(q.url, { waitUntil: "load" });
  await until(page);
  return { page, seen };
}

const ready = (page) => page.waitForSelector("body[data-ready]", { timeout: 30000 });

// answersOf fills in one more sheet and gives what a copy of it would hold. It begins
// as soon as that can be done, while the rules are still being read.
async function answersOf(q, browser, sheet) {
  const { page, seen } = await open({ ...q, url: sheet.url }, browser, undefined, undefined, (page) => page.waitForSelector("body[data-filled]", { timeout: 30000 }));
  await begin(page);
  const nowhere = await fill(page, sheet.entries);
  await settled(page);
  const block = await page.$eval("#setline-answers", (e) => e.textContent);
  await page.close();
  return { block, nowhere, errors: seen.errors };
}

async function begin(page) {
  if (await page.$eval("#first", (e) => e.open)) await page.$eval("#begin", (e) => e.click());
}

// fill puts answers into the boxes of every place, and says which were nowhere.
const filling = fs.readFileSync(path.join(__dirname, "fill.js"), "utf8");
const fill = (page, entries) => page.evaluate(`(${filling})(${JSON.stringify(entries)})`);

// settled waits until all that was entered is judged and kept, and shown as that.
const settled = (page) => page.waitForFunction(() => ["kept", "blocked", ""].includes(document.getElementById("kept").dataset.state) && document.getElementById("said").getAttribute("aria-busy") !== "true", { timeout: 20000 });

// save presses the button, and gives the file that comes of it.
async function save(q, browser, page) {
  let folder = q.folder; // Firefox tells files of one name apart, Chromium writes over them
  if (q.browser !== "firefox") {
    folder = fs.mkdtempSync(path.join(q.folder, "saved-"));
    const c = await browser.target().createCDPSession();
    await c.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: folder, browserContextId: page.browserContext().id });
  }
  const before = new Set(fs.readdirSync(folder));
  await page.$eval("#save", (e) => e.click());
  for (let i = 0; i < 600; i++) {
    await pause(50);
    const fresh = fs.readdirSync(folder).filter((n) => !before.has(n) && n.endsWith(".html"));
    if (fresh.length && !fs.readdirSync(folder).some((n) => /\.(crdownload|part)$/.test(n))) {
      const file = path.join(folder, fresh[0]);
      const size = fs.statSync(file).size;
      await pause(60);
      if (size > 0 && fs.statSync(file).size === size) return file;
    }
  }
  throw new Error("nothing was saved");
}

// drawn waits until what is shown has been drawn.
const drawn = (page) => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done()))));

const kept = (page) => page.$eval("#kept", (e) => ({ state: e.dataset.state, count: Number(e.dataset.count), text: e.textContent }));

// choose goes to a place by the words of its page, and then to one of its units.
async function choose(page, words, to) {
  await page.evaluate((words) => {
    const where = document.getElementById("where");
    where.selectedIndex = [...where.options].findIndex((o) => o.text === words);
    where.dispatchEvent(new Event("change"));
  }, words);
  if (to) await (await page.waitForSelector(`[data-to="${to}"]`, { timeout: 10000 })).evaluate((e) => e.click());
  if (to) await page.waitForFunction((to) => document.querySelector("#place section")?.dataset.of === to, {}, to);
}

// untouchable lists what can be touched and is smaller than 44 px, or is covered by
// something else within them (WCAG 2.2, 2.5.5, target size).
function untouchable() {
  const wrong = [];
  for (const e of document.querySelectorAll("a[href], button, input:not(.take), select, textarea, summary, label.camera, [role=slider]")) {
    if (!e.checkVisibility()) continue; // in what is folded up
    e.scrollIntoView({ block: "center", inline: "center", behavior: "instant" });
    const r = e.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2;
    const name = e.outerHTML.slice(0, 110);
    if (r.width < 44 || r.height < 44) wrong.push(`${name} is ${r.width} x ${r.height} px`);
    for (const [dx, dy] of [[0, 0], [-21, 0], [21, 0], [0, -21], [0, 21]]) {
      const hit = document.elementFromPoint(x + dx, y + dy);
      if (hit && e.contains(hit)) continue;
      wrong.push(`${name} is covered by ${hit ? hit.outerHTML.slice(0, 60) : "the edge"}`);
      break;
    }
  }
  return wrong;
}

// inSight reports whether the box that is filled in lies between header and pad.
function inSight() {
  const r = document.activeElement.getBoundingClientRect(), foot = document.getElementById("foot").getBoundingClientRect();
  const head = document.querySelector("header"), from = getComputedStyle(head).position === "sticky" ? head.getBoundingClientRect().bottom : 0;
  return document.activeElement.matches("#place input") && r.top >= from && r.bottom <= foot.top;
}

// cutOff lists what is written and does not have the room: a number of which the first
// figures are gone is another number.
function cutOff() {
  const wrong = [];
  for (const e of document.querySelectorAll(".number, .part span, .key, .tick, .place b, .word, h1, h3, .name, header button")) {
    if (e.checkVisibility() && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== "inline") wrong.push(`${e.outerHTML.slice(0, 80)} holds ${e.scrollWidth} px and has ${e.clientWidth}`);
  }
  return wrong;
}

// unlabelled goes back through the boxes of what is shown, and lists those of which
// what they are asked for is not in sight with them.
async function unlabelled() {
  const out = [], still = () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done))));
  for (const e of [...document.querySelectorAll("#place .ask:not(.line) :is(input, select, .tick)")].reverse()) {
    e.focus();
    await still();
    const head = document.querySelector("header"), from = getComputedStyle(head).position === "sticky" ? head.getBoundingClientRect().bottom : 0;
    const to = document.getElementById("foot").getBoundingClientRect().top;
    for (const part of [e, e.closest(".ask").querySelector(".what .name")]) {
      const r = part.getBoundingClientRect();
      if (r.top < from || r.bottom > to) out.push(`${e.id || e.dataset.box}: ${part.textContent || "the box"} is not in sight`);
    }
  }
  return out;
}

// tap touches an element where it lies, once the page lies still.
async function tap(page, selector) {
  const e = await page.waitForSelector(selector, { timeout: 5000 });
  const at = await e.evaluate(async (e) => {
    const still = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
    const look = () => {
      // What is half behind something else is not touched: a finger is wide.
      const r = e.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2;
      const over = [0, -20, 20].map((dy) => document.elementFromPoint(x, y + dy)).find((hit) => !e.contains(hit));
      return { x, y, hit: over === undefined ? "" : over ? over.outerHTML.slice(0, 80) : "the edge" };
    };
    const busy = () => document.getElementById("said").getAttribute("aria-busy") === "true" || document.getElementById("kept").dataset.state === "keeping";
    for (const end = Date.now() + 20000; busy() && Date.now() < end; ) await still(); // as who looks what came of the last
    await still();
    for (let i = 0; i < 3 && look().hit; i++) { // what was judged meanwhile may take more room
      e.scrollIntoView({ block: "nearest", inline: "nearest" });
      await still();
    }
    return look();
  });
  if (at.hit) throw new Error(`${selector} is covered by ${at.hit}`);
  await touch(page, selector, at);
}

// touch touches a point, and waits for the click that comes of it: the browser makes
// it of the touch later, on a busy machine after whatever is asked of the page next.
async function touch(page, what, { x, y }) {
  await page.evaluate(() => {
    window.touched = new Promise((done) => addEventListener("click", () => done(true), { capture: true, once: true }));
  });
  await page.touchscreen.tap(x, y);
  const clicked = await page.evaluate(() => Promise.race([window.touched, new Promise((done) => setTimeout(done, 10000, false))]));
  if (!clicked) throw new Error(`a touch of ${what} gave no click`);
}

// touchKey touches a key of the pad, which lies still.
async function touchKey(page, selector) {
  const at = await page.$eval(selector, (e) => {
    const r = e.getBoundingClientRect();
    return { x: r.left + r.width / 2, y: r.top + r.height / 2 };
  });
  await touch(page, selector, at);
}

const does = {
  // fills everything in, saves, and opens and saves the copy.
  async fill(q, browser) {
    const { page, seen } = await open(q, browser);
    await begin(page);
    const nowhere = await fill(page, q.entries);
    await settled(page);
    const file = await save(q, browser, page);
    await page.close();
    const copy = await open({ ...q, url: "file://" + file }, browser);
    const again = await save(q, browser, copy.page);
    const empty = q.original ? await (async () => {
      const other = await browser.newPage(); // of the same sheet, with nothing in it
      await other.evaluateOnNewDocument(() => Object.defineProperty(window, "indexedDB", { get() { throw new Error("not for this page"); } }));
      await other.goto(q.url);
      await ready(other);
      return save(q, browser, other);
    })() : "";
    const more = [];
    for (const sheet of q.more || []) more.push(await answersOf(q, browser, sheet));
    return { more, file, again, empty, nowhere, errors: [...seen.errors, ...copy.seen.errors], requests: seen.requests };
  },

  // kills the browser while boxes are being filled in, and looks what is there
  // afterwards. What the page showed as kept has to be.
  async kill(q) {
    const shown = [];
    // Every entry is a greater number than all before, so that the greatest that is
    // there says how many survived.
    const greatest = (page) => page.$eval("#setline-answers", (e) => Math.max(0, ...Object.values(JSON.parse(e.textContent).entries).map(Number).filter((n) => n > 0)));
    let number = 0;
    for (let n = 0; n <= q.kills; n++) {
      const browser = await launch(q);
      const { page } = await open(q, browser);
      const had = await greatest(page);
      if (n > 0) Object.assign(shown[n - 1], { had, lost: had < shown[n - 1].kept });
      if (n === q.kills) {
        await browser.close();
        break;
      }
      await begin(page);
      await choose(page, q.where, q.to);
      const boxes = await page.$$("#place input.number");
      let kept = had;
      const until = Date.now() + 200 + 97 * (n % 7);
      while (Date.now() < until || (kept === had && Date.now() < until + 20000)) {
        if (kept === had) await pause(20); // until something is kept that can be lost
        number++;
        const before = await boxes[number % boxes.length].evaluate((e, v) => {
          const state = document.getElementById("kept").dataset.state;
          e.value = v;
          e.dispatchEvent(new Event("input"));
          return state;
        }, String(number));
        if (before === "kept") kept = Math.max(kept, number - 1); // all before this one
      }
      process.kill(-browser.process().pid, "SIGKILL");
      await pause(250);
      shown.push({ kept, entered: number });
    }
    return { shown, lost: shown.filter((s) => s.lost) };
  },

  // opens the page where the browser gives no storage.
  async blocked(q, browser) {
    const { page } = await open(q, browser, "phone", (page) => page.evaluateOnNewDocument(() => Object.defineProperty(window, "indexedDB", { get() { throw new DOMException("The operation is insecure.", "SecurityError"); } })));
    await begin(page);
    const nowhere = await fill(page, q.entries);
    await settled(page);
    const said = await page.$eval("#alarm", (e) => e.textContent);
    const state = await kept(page);
    const file = await save(q, browser, page);
    await page.close();
    return { said, state, file, nowhere };
  },

  // clears the browser's storage while the sheet is open, and goes on.
  async cleared(q, browser) {
    const { page, seen } = await open(q, browser);
    await begin(page);
    await fill(page, { "people/0/name": "Before", date: "2026-10-06" });
    await settled(page);
    await page.evaluate(() => new Promise((done, fail) => {
      const ask = indexedDB.deleteDatabase("setline-sheets");
      ask.onsuccess = done;
      ask.onerror = ask.onblocked = () => fail(new Error("it was not deleted"));
    }));
    await page.waitForFunction(() => document.getElementById("kept").dataset.state === "kept", { timeout: 10000 });
    await fill(page, { "people/0/firm": "After" });
    await settled(page);
    await page.reload();
    await ready(page);
    const left = JSON.parse(await page.$eval("#setline-answers", (e) => e.textContent)).entries;
    await page.close();
    return { left, errors: seen.errors };
  },

  // enters something and leaves the page in the same moment, over and over: what is
  // there afterwards. Then midnight goes by while the sheet lies there.
  async left(q, browser) {
    const found = [];
    const enter = (page, value) => page.evaluate((value) => {
      const box = document.getElementById("people/1/name");
      box.value = value;
      box.dispatchEvent(new Event("input"));
    }, value);
    for (let i = 0; i < 4; i++) {
      const { page } = await open(q, browser);
      found.push(await page.$eval("#setline-answers", (e) => JSON.parse(e.textContent).entries["people/1/name"] || ""));
      await begin(page);
      await choose(page, "Visit");
      await enter(page, "Leaving " + i);
      await page.goto("about:blank");
      await page.close();
    }
    const { page } = await open(q, browser, undefined, (page) => page.evaluateOnNewDocument(() => {
      const Clock = Date;
      window.later = 0;
      window.Date = class extends Clock {
        constructor(...at) { super(...(at.length ? at : [Clock.now() + window.later])); }
      };
    }));
    await begin(page);
    await choose(page, "Visit");
    await page.$eval("#place .chip", (e) => e.click());
    await settled(page);
    const before = await page.$eval("#kept", (e) => e.textContent);
    await page.evaluate(() => {
      window.later = 24 * 3600 * 1000;
      document.dispatchEvent(new Event("visibilitychange"));
    });
    await settled(page);
    const after = await page.$eval("#kept", (e) => e.textContent);
    await page.close();
    return { found, before, after };
  },

  // goes from place to place by what leads on, turns the screen, and comes from another
  // elevation: which place the drawing shows as the one that is filled in, and whether
  // it is in sight. Then it types beside the pad, and goes on there.
  async here(q, browser) {
    const { page, seen } = await open(q, await browser.createBrowserContext(), "tablet");
    const marked = async () => {
      await settled(page);
      await drawn(page);
      return page.evaluate(() => {
        const here = [...document.querySelectorAll(".place[aria-current=true]")], r = here[0]?.getBoundingClientRect(), s = here[0]?.closest(".scroll")?.getBoundingClientRect();
        const sight = s && (r.left < s.left - 1 || r.right > s.right + 1) ? ", out of sight" : "";
        return document.querySelector("#place section").dataset.of + ": " + here.map((e) => e.dataset.to) + sight;
      });
    };
    await begin(page);
    await choose(page, q.where);
    const places = [];
    for (let i = 0; i < q.places; i++) {
      await page.$eval("#onward", (e) => e.click());
      places.push(await marked());
    }
    await page.setViewport({ ...sizes.tablet, width: 768, height: 1024 });
    places.push(await marked());
    await page.setViewport(sizes.tablet);
    await choose(page, "Visit");
    await page.$eval("#onward", (e) => e.click());
    await page.$eval("#onward", (e) => e.click());
    await page.$eval("#back", (e) => e.click());
    places.push(await marked());
    await choose(page, q.where, q.to);
    await page.focus("#place input.number");
    await page.keyboard.type("9");
    const pressed = () => page.$$eval(".part[aria-pressed=true]", (all) => all.map((e) => e.dataset.part).join(" "));
    const typed = [await pressed()];
    await page.$eval(".keys [data-key='1']", (e) => e.click());
    typed.push(await page.$eval("#place input.number", (e) => e.value));
    await page.keyboard.type(" 39/64");
    typed.push(await pressed());
    for (const value of q.pasted) {
      await page.$eval("#place input.number", (e, value) => {
        e.value = value;
        e.dispatchEvent(new Event("input"));
      }, value);
      await page.$eval(".eighths .part:nth-child(6)", (e) => e.click());
      typed.push(await page.$eval("#place input.number", (e) => e.value));
    }
    await page.close();
    return { places, typed, errors: seen.errors };
  },

  // enters what is no value: what is said of it, and whether all of that is in sight,
  // and a word that is longer than the screen is wide.
  async refused(q, browser) {
    const out = {};
    for (const size of ["phone", "tablet", "side"]) {
      const { page } = await open(q, await browser.createBrowserContext(), size);
      await begin(page);
      await choose(page, q.where, q.to);
      const enter = async (value) => {
        await page.focus(`[id="${q.box}"]`);
        await page.evaluate((value) => {
          document.activeElement.value = value;
          document.activeElement.dispatchEvent(new Event("input"));
        }, value);
        await settled(page);
        await drawn(page);
      };
      await enter(q.value);
      out[size] = await page.evaluate(() => {
        const said = document.getElementById("said"), line = said.querySelector(".means.doubt");
        return { said: line ? line.textContent : "", cut: line ? Math.round(line.getBoundingClientRect().bottom - said.getBoundingClientRect().bottom) : 0 };
      });
      await enter(q.value.repeat(100));
      out[size].wide = await page.$eval("#said", (e) => e.scrollWidth - e.clientWidth);
      await page.close();
    }
    return out;
  },

  // deletes what is kept of sheets of long ago, all at once, and leaves the rest.
  async old(q, browser) {
    const { page, seen } = await open(q, browser);
    const drafts = (then) => page.evaluate((then) => new Promise((done, fail) => {
      const ask = indexedDB.open("setline-sheets", 1);
      ask.onerror = () => fail(ask.error);
      ask.onsuccess = () => {
        const tx = ask.result.transaction("drafts", "readwrite"), shelf = tx.objectStore("drafts");
        for (const [name, days, saved] of then) {
          const answers = JSON.stringify({ setline_answers: 1, entries: { date: "2025-01-01" }, stands: [], photos: [] });
          shelf.put({ answers, saved: saved ? answers : "", at: Date.now() - days * 86400000, title: "Of long ago", plan: "" }, name);
        }
        const names = shelf.getAllKeys();
        tx.oncomplete = () => (ask.result.close(), done(names.result.map(String)));
      };
    }), then);
    await drafts([["a/1", 400, false], ["a/2", 40, true], ["a/3", 40, false], ["a/4", 4, true]]);
    await page.reload();
    await ready(page);
    await page.$eval("#first", (e) => (e.open = true));
    const bulk = () => [...document.querySelectorAll("#drafts .sure button")].find((e) => /old ones/.test(e.textContent));
    await page.waitForFunction(bulk, { timeout: 10000 });
    const offered = await page.evaluate(() => [...document.querySelectorAll("#drafts .sure button")].find((e) => /old ones/.test(e.textContent)).textContent);
    await page.evaluate(() => [...document.querySelectorAll("#drafts .sure button")].find((e) => /old ones/.test(e.textContent)).click());
    const asked = await page.$eval("#drafts > .sure", (e) => e.textContent);
    await page.$eval("#drafts > .sure .yes", (e) => e.click());
    await page.waitForFunction(() => !document.querySelector("#drafts > .sure"), { timeout: 10000 });
    const names = (await drafts([])).filter((n) => n.startsWith("a/"));
    await page.close();
    return { offered, asked, names, errors: seen.errors };
  },

  // opens the sheet in two tabs.
  async twice(q, browser) {
    const first = await open(q, browser);
    const second = await open(q, browser);
    const said = await second.page.$eval("#alarm", (e) => e.textContent);
    await begin(second.page);
    const locked = await second.page.$$eval("#place input", (all) => all.length > 0 && all.every((e) => e.readOnly));
    await first.page.close();
    let after;
    for (let i = 0; i < 5 && after !== ""; i++) { // a browser may take its time to close a tab
      await second.page.reload();
      await ready(second.page);
      after = await second.page.$eval("#alarm", (e) => e.textContent);
    }
    await second.page.close();
    return { said, locked, after };
  },

  // looks at every view of the page at every size, and magnified to 200 %: what is
  // too small to touch, what axe-core finds, what does not fit; and takes pictures
  // where they are asked for. Magnified, a page has half the width and height.
  async look(q, browser) {
    const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
    const found = { axe: [], small: [], wide: [], views: 0 };
    for (const size of q.sizes || ["phone", "tablet", "side"]) {
      const { page } = await open(q, q.letters ? browser : await browser.createBrowserContext(), size); // what is set is of the whole profile
      const letters = await page.evaluate(() => parseFloat(getComputedStyle(document.body).fontSize));
      if (letters !== (q.letters || 16)) throw new Error(`letters of ${letters} px, not as they were set`);
      const half = { ...sizes[size], width: sizes[size].width / 2, height: sizes[size].height / 2, deviceScaleFactor: 2 };
      const rules = async (name) => {
        await page.evaluate(axe);
        const { violations } = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
        for (const v of violations) if (["serious", "critical"].includes(v.impact)) found.axe.push(`${size} ${name}: ${v.id}: ${v.nodes.slice(0, 2).map((n) => n.html.slice(0, 120) + " " + n.failureSummary.replace(/\s+/g, " ").slice(0, 160)).join(" | ")}`);
      };
      const measured = async (name) => {
        found.views++;
        found.small.push(...(await page.evaluate(untouchable)).map((t) => `${size} ${name}: ${t}`));
        found.wide.push(...(await page.evaluate(cutOff)).map((t) => `${size} ${name}: ${t}`));
        const over = await page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
        if (over > 1) found.wide.push(`${size} ${name}: ${over} px wider than the screen`);
      };
      const step = async (name, magnified = true) => {
        if (q.pictures?.includes(`${size}-${name}`)) await page.screenshot({ path: path.join(q.shelf, `page-${size}-${name}.png`) });
        if (q.axe && (size === "phone" || (size === "tablet" && name === "pad"))) await rules(name);
        await measured(name);
        if (!magnified || size === "side" || q.letters) return;
        await page.setViewport(half);
        await measured(name + " at 200 %");
        await page.setViewport(sizes[size]);
        await drawn(page); // or the page never learns that it was larger
      };
      await step("first");
      await begin(page);
      await step("visit");
      found.wide.push(...(await page.evaluate(unlabelled)).map((t) => `${size}, visit: ${t}`));
      await choose(page, q.where);
      await settled(page);
      await step("elevation");
      await choose(page, q.where, q.filler);
      await step("filler");
      await choose(page, q.where, q.joint);
      await step("joint");
      await choose(page, q.where, q.to);
      await step("unit");
      await tap(page, "#place input.number");
      await tap(page, ".keys [data-key='9']");
      await settled(page);
      await tap(page, ".eighths [data-part='32']");
      await tap(page, ".fine [data-part='39']");
      await settled(page);
      const sight = (view) => page.waitForFunction(inSight, { timeout: 2000 }).catch(() => found.wide.push(`${size}, ${view}: the box that is filled in is not in sight`));
      await sight("pad");
      await step("pad");
      if (size !== "side" && !q.letters) {
        await page.setViewport(half);
        await sight("pad at 200 %");
        await page.setViewport(sizes[size]);
      }
      await choose(page, q.where, q.joint);
      await tap(page, "#place input[id$=gap]");
      for (const k of q.slip) await tap(page, `.keys [data-key='${k}']`);
      await page.waitForSelector("[data-does=mend]", { timeout: 10000 });
      await step("doubt");
      await tap(page, "[data-does=stands]");
      await page.$eval("#list", (e) => e.click());
      await step("list");
      await page.close();
    }
    return found;
  },

  // looks at a report: what axe-core finds, and how much wider than the screen it is.
  async report(q, browser) {
    const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
    const page = await browser.newPage();
    await page.setBypassCSP(true);
    const found = [];
    for (const width of [1100, 375]) {
      await page.setViewport({ width, height: 900 });
      await page.goto(q.url, { waitUntil: "load" });
      const over = await page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
      if (over > 0) found.push(`${width}: ${over} px wider than the screen`);
    }
    await page.evaluate(axe);
    // Contrast takes most of the time, and there are three colours in all.
    const { violations } = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"], rules: { "color-contrast": { enabled: false } } }));
    for (const v of violations) found.push(`${v.id}: ${v.nodes[0].html.slice(0, 120)}`);
    return found;
  },

  // fills in every box of a room by touch, from the first to the saved copy, as who
  // wears gloves does: numbers by the pad alone, words by the device's keyboard. It
  // counts the taps, and tells the boxes that were tapped because "next" did not lead
  // to them.
  async touch(q, browser) {
    const { page, seen } = await open(q, await browser.createBrowserContext());
    const entries = {}, out = { entries, numbers: 0, padTaps: 0, boxTaps: 0, ticks: 0, words: 0, places: [] };
    const at = (selector) => page.evaluate((s) => document.activeElement.matches(s), selector);
    const moment = async (name) => q.pictures && page.screenshot({ path: path.join(q.shelf, `touch-${name}.png`) });
    const value = (name) => (/\/tops\/|\/mark/.test(name) ? q.top : /\/floor\/.*1$/.test(name) ? q.floor : /opening|\/floor\//.test(name) ? q.opening : q.small);
    const pad = async (text) => {
      const [, whole, over, under] = /^(\d+)?(?: ?(\d+)\/(\d+))?$/.exec(text);
      for (const k of whole || "") await touchKey(page, `.keys [data-key="${k}"]`), out.padTaps++;
      if (!over) return;
      const n = Number(over) * (64 / Number(under));
      if (n >= 8) await touchKey(page, `.eighths [data-part="${n - (n % 8)}"]`), out.padTaps++;
      if (n % 8) await touchKey(page, `.fine [data-part="${n}"]`), out.padTaps++;
    };
    const typed = async (box, text) => {
      await tap(page, box);
      await page.keyboard.type(text);
      out.words++;
    };
    // place fills in what is shown.
    const place = async () => {
      const todo = await page.$$eval("#place .ask", (asks) => asks.map((a) => {
        const boxes = [...a.querySelectorAll("input:not([type=file]), textarea, select, .ticks")].filter((e) => !e.matches(".ticks") || e.querySelector("[data-box]"));
        return boxes.map((b) => ({ id: b.id, tick: b.querySelector("[data-box]")?.dataset.box, kind: b.matches(".number") ? "number" : b.type === "date" ? "date" : b.tagName, all: !!b.closest(".all") }));
      }).flat());
      for (const box of todo) {
        if (/^people\/1/.test(box.tick || box.id)) continue; // there is one person
        const own = `[id="${box.id}"]`;
        if (box.tick) {
          await tap(page, `[data-box="${box.tick}"]`);
          entries[box.tick] = true;
          out.ticks++;
        } else if (box.kind === "number") {
          if (!(await at(own))) await tap(page, own), out.boxTaps++;
          entries[box.id] = value(box.id);
          await pad(entries[box.id]);
          out.numbers++;
          await touchKey(page, ".keys [data-key=next]");
        } else if (box.kind === "INPUT" && !box.all) {
          entries[box.id] = "R2";
          await typed(own, "R2");
        } else if (box.kind === "date" && box.id === "date") {
          await tap(page, "#place .chip"); // today
          entries.date = await page.$eval("#date", (e) => e.value);
        }
      }
    };
    await moment("first");
    await tap(page, "#begin");
    await place();
    await moment("visit");
    await tap(page, "#onward");
    for (let i = 0; i < 60; i++) {
      const of = await page.$eval("#place section", (e) => e.dataset.of);
      out.places.push(of);
      await moment("place-" + i);
      await place();
      if ((await page.$eval("#place section", (e) => e.dataset.of)) !== of) continue; // "next" led on
      if (await at(".number")) await tap(page, ".keys [data-key=done]");
      if (!(await page.$("#onward"))) break;
      await tap(page, "#onward");
    }
    // A wrong value is typed over, taken away and put right; a tick is taken back.
    await tap(page, "#back");
    const box = "#place input.number", was = await page.$eval(box, (e) => e.value);
    await tap(page, box);
    await touchKey(page, ".keys [data-key='7']");
    out.over = await page.$eval(box, (e) => e.value);
    await touchKey(page, ".keys [data-key=back]");
    out.away = await page.$eval(box, (e) => e.value);
    await pad(was);
    await tap(page, ".keys [data-key=done]");
    await page.select("#where", await page.$eval("#where option:nth-child(2)", (e) => e.value));
    const tick = '#place .ask.all .tick[aria-pressed="true"]';
    const name = await page.$eval(tick, (e) => e.dataset.box), own = `[data-box="${name}"]`;
    await tap(page, own);
    await settled(page);
    out.untick = (await page.$eval("#setline-answers", (e) => JSON.parse(e.textContent).entries))[name] === undefined;
    await tap(page, own);
    await settled(page);
    await moment("end");
    const file = await save(q, browser, page);
    const block = await page.$eval("#setline-answers", (e) => e.textContent);
    // The next day needs an empty sheet, which stays empty.
    await page.evaluate(() => scrollTo(0, 0));
    await tap(page, "#first summary");
    await tap(page, "#emptying .sure button");
    out.asked = await page.$eval("#emptying .sure", (e) => e.textContent);
    await tap(page, "#emptying .yes");
    await settled(page);
    await page.reload();
    await ready(page);
    out.left = await page.$eval("#setline-answers", (e) => Object.keys(JSON.parse(e.textContent).entries).length);
    return { ...out, file, block, errors: seen.errors };
  },

  // fills boxes by keys alone, from the top of the page.
  async keyboard(q, browser) {
    const { page } = await open(q, await browser.createBrowserContext(), "tablet");
    const tabTo = async (wanted) => {
      for (let i = 0; i < 120; i++) {
        await page.keyboard.press("Tab");
        if (await page.evaluate((w) => document.activeElement.matches(w), wanted)) return;
      }
      throw new Error("no way by Tab to " + wanted);
    };
    await tabTo("#begin");
    await page.keyboard.press("Enter");
    await tabTo("[id='people/0/name']");
    await page.keyboard.type("Keys Only");
    await page.keyboard.down("Shift");
    for (let i = 0; i < 60 && !(await page.evaluate(() => document.activeElement.id === "where")); i++) await page.keyboard.press("Tab");
    await page.keyboard.up("Shift");
    await page.keyboard.press("ArrowDown");
    await tabTo(`[data-to="${q.to}"]`);
    await page.keyboard.press("Enter");
    await tabTo("#place input.number");
    await page.keyboard.type("9 39/64");
    await tabTo("#place .tick");
    await page.keyboard.press("Space");
    await settled(page);
    const entries = JSON.parse(await page.$eval("#setline-answers", (e) => e.textContent)).entries;
    return { entries };
  },

  // fills in a whole room by keys alone, from place to place, and saves: Tab, what is
  // typed, Enter, and the space bar. It tells the names that a screen reader would
  // read out of what was come by and has none.
  async keys(q, browser) {
    const { page, seen } = await open(q, await browser.createBrowserContext(), "tablet");
    const entries = {}, unnamed = [];
    const at = () => page.evaluate(() => {
      const e = document.activeElement;
      return { id: e.id, tag: e.tagName, number: e.matches(".number"), tick: e.matches(".tick[aria-pressed=false]") && e.parentNode.querySelector(".tick") === e ? e.dataset.box : "", text: e.matches("#place input[type=text], #place textarea") && e.value === "" && !e.closest(".all"), value: e.value || "",
        name: e.getAttribute("aria-label") || e.textContent.trim() || e.labels?.[0]?.textContent || "", page: e === document.body };
    });
    const value = (name) => (/\/tops\/|\/mark/.test(name) ? q.top : /\/floor\/.*1$/.test(name) ? q.floor : /opening|\/floor\//.test(name) ? q.opening : q.small);
    for (let i = 0; i < 1500; i++) {
      const e = await at();
      if (!e.name && !e.page) unnamed.push(e.tag + " " + e.id);
      if (e.id === "finish") break;
      if (e.id === "begin" || e.id === "onward") await page.keyboard.press("Enter");
      else if (e.number && entries[e.id] === undefined) {
        await page.keyboard.type((entries[e.id] = value(e.id)));
        await page.keyboard.press("Enter"); // leads on, to a tick too
        continue;
      } else if (e.tick) {
        await page.keyboard.press("Space");
        entries[e.tick] = true;
      } else if (e.text && entries[e.id] === undefined) await page.keyboard.type((entries[e.id] = "R2"));
      await page.keyboard.press("Tab");
    }
    const done = (await at()).id === "finish";
    await settled(page);
    return { done, entries, unnamed, block: await page.$eval("#setline-answers", (e) => e.textContent), empty: await page.$$eval("#place .number", (all) => all.filter((e) => !e.value).length), errors: seen.errors };
  },

  // enters what is likely a slip, and is asked about it: by keys and by touch.
  async doubt(q, browser) {
    const said = {};
    const at = (page) => page.evaluate(() => document.activeElement.dataset.does || document.activeElement.id);
    const block = (page) => page.$eval("#setline-answers", (e) => JSON.parse(e.textContent));
    for (const size of ["tablet", "phone"]) {
      const { page } = await open(q, await browser.createBrowserContext(), size);
      await begin(page);
      await choose(page, q.where, q.to);
      const press = (does) => (size === "phone" ? tap(page, `[data-does=${does}]`) : page.keyboard.press("Enter"));
      const enter = async (value) => {
        await page.focus(`[id="${q.box}"]`);
        await page.evaluate(() => document.activeElement.select());
        await page.keyboard.type(value);
      };
      const asked = () => page.waitForSelector("[data-does=mend]", { timeout: 10000 });
      await enter(q.slip);
      await asked();
      await page.keyboard.press("Enter");
      const out = (said[size] = { first: await at(page), rules: await page.$$eval("#said .means b", (all) => all.map((e) => e.textContent)) });
      await press("mend");
      out.mend = await at(page);
      await enter(q.value);
      await page.waitForFunction(() => !document.querySelector("[data-does=mend]"), { timeout: 10000 });
      await settled(page);
      out.mended = (await block(page)).stands.length === 0;
      await enter(q.slip);
      await asked();
      await page.evaluate((box) => [...document.querySelectorAll("#place input")].find((e) => e.id !== box).focus(), q.box);
      await (await page.waitForSelector("[data-does=back]", { timeout: 10000 })).evaluate((e) => e.click());
      out.back = await at(page);
      await asked();
      await page.keyboard.press("Enter");
      if (size === "tablet") await page.keyboard.press("Tab");
      await press("stands");
      await settled(page);
      const { entries, stands } = await block(page);
      Object.assign(out, { stands, value: entries[q.box], next: (await at(page)) !== q.box });
      await page.waitForFunction(() => !document.querySelector("#said .doubt"), { timeout: 10000 });
      await page.close();
    }
    return said;
  },

  // opens the page with a program that never starts, and one that fails to: what it
  // says before anything is entered, and after.
  async unstarted(q, browser) {
    const said = {};
    for (const fails of [false, true]) {
      const page = await browser.newPage();
      await page.evaluateOnNewDocument((fails) => (WebAssembly.instantiate = () => new Promise((_, no) => fails && no(new Error("of this test")))), fails);
      await page.goto(q.url + "#main-thread");
      await page.waitForSelector(fails ? "body[data-ready]" : "body[data-filled]", { timeout: 30000 });
      await begin(page);
      await choose(page, q.where);
      const tell = () => page.$eval("#said", (e) => e.textContent);
      const before = await tell();
      await choose(page, q.where, q.to);
      await page.evaluate(() => {
        const box = document.querySelector("#place input.number");
        box.value = "9 1/2";
        box.dispatchEvent(new Event("input"));
      });
      await settled(page);
      const entered = await tell();
      await choose(page, q.where);
      said[fails ? "failed" : "waits"] = { before, entered, after: await tell(), kept: (await kept(page)).count };
      await page.evaluate(() => new Promise((done) => (indexedDB.deleteDatabase("setline-sheets").onsuccess = done)));
      await page.close();
    }
    return said;
  },

  // takes a photograph of a unit with a picture from disk.
  async photo(q, browser) {
    const { page, seen } = await open(q, browser);
    await begin(page);
    await fill(page, q.entries);
    await page.$eval("#list", (e) => e.click());
    await choose(page, q.where, q.to);
    const input = await page.$(".take");
    await input.uploadFile(q.picture);
    await page.waitForSelector("figure input", { timeout: 10000 });
    await page.type("figure input", "scratch on the side <b>");
    await settled(page);
    const file = await save(q, browser, page);
    const printed = [];
    for (const format of ["a4", "letter"]) {
      printed.push(path.join(q.folder, format + ".pdf"));
      await page.pdf({ path: printed.at(-1), format });
    }
    // Where the device is full that is said, until there is room; what is taken away
    // leaves the device.
    const inStore = () => page.evaluate(() => new Promise((done, fail) => {
      const ask = indexedDB.open("setline-sheets", 1);
      ask.onerror = () => fail(ask.error);
      ask.onsuccess = () => {
        const all = ask.result.transaction("photos").objectStore("photos").getAllKeys();
        all.onsuccess = () => (ask.result.close(), done(all.result));
      };
    }));
    const held = async (wanted) => {
      let names;
      for (let i = 0; i < 100 && (names = await inStore()).length !== wanted; i++) await pause(50);
      return names;
    };
    const taken = async (which) => {
      const n = (await page.$$("figure")).length;
      await page.$$eval("figure .sure button", (all, which) => all.at(which).click(), which);
      await tap(page, "figure .yes"); // once the page lies still
      await page.waitForFunction((n) => document.querySelectorAll("figure").length < n, {}, n);
    };
    const before = await held(1);
    await page.evaluate(() => {
      const put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (...all) {
        if (this.name === "photos") throw new DOMException("The device is full.", "QuotaExceededError");
        return put.apply(this, all);
      };
    });
    await (await page.$(".take")).uploadFile(q.other);
    await page.waitForFunction(() => document.getElementById("kept").dataset.state === "blocked", { timeout: 10000 });
    const full = await page.$eval("#alarm", (e) => e.textContent);
    await taken(-1);
    await page.waitForFunction(() => document.getElementById("kept").dataset.state === "kept", { timeout: 10000 }).catch(() => {});
    const again = { ...(await kept(page)), alarm: await page.$eval("#alarm", (e) => e.textContent) };
    // Any page from disk can write over what is kept: what is no picture is none.
    const stored = (id, data) => page.evaluate((id, data) => new Promise((done) => {
      indexedDB.open("setline-sheets", 1).onsuccess = ({ target: { result: db } }) => {
        const tx = db.transaction("photos", "readwrite"), was = tx.objectStore("photos").get(id);
        was.onsuccess = () => tx.objectStore("photos").put(data, id);
        tx.oncomplete = () => (db.close(), done(was.result));
      };
    }), id, data);
    await page.reload(); // with room again
    await ready(page);
    const was = await stored(before[0], "eA==</script><script id=setline-answers>{}");
    await page.reload();
    await ready(page);
    const forged = await page.evaluate(() => document.documentElement.outerHTML.match(/id="?setline-(answers|photo-)/g));
    await stored(before[0], was);
    await page.reload();
    await ready(page);
    await choose(page, q.where, q.to);
    await taken(0);
    return { file, printed, before, full, again, forged, after: await held(0), errors: seen.errors };
  },

  // opens the page from a server, then without it.
  async offline(q, browser) {
    const http = require("http");
    const server = http.createServer((ask, answer) => {
      const name = decodeURIComponent(ask.url.split("?")[0]).replace(/\/$/, "/index.html");
      const file = path.join(q.served, path.normalize(name));
      const types = { ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".webmanifest": "application/manifest+json", ".png": "image/png" };
      fs.readFile(file, (err, data) => (err ? answer.writeHead(404).end() : answer.writeHead(200, { "content-type": types[path.extname(file)] || "application/octet-stream" }).end(data)));
    });
    await new Promise((up) => server.listen(0, "127.0.0.1", up));
    const url = `http://127.0.0.1:${server.address().port}/`;
    const { page, seen } = await open({ ...q, url }, browser);
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => {}));
    await begin(page);
    await fill(page, q.entries);
    await settled(page);
    // The folder is made anew: another sheet, which finds what was entered before.
    fs.cpSync(q.updated, q.served, { recursive: true });
    const take = async () => {
      await page.reload();
      await ready(page);
      await page.waitForSelector(".take-up", { timeout: 10000 });
      return page.$eval("#drafts", (e) => e.textContent);
    };
    const offered = await take();
    const before = await page.$eval("#setline-answers", (e) => Object.keys(JSON.parse(e.textContent).entries).length);
    await page.$eval(".take-up", (e) => e.click());
    await settled(page);
    await page.waitForFunction(() => document.getElementById("kept").dataset.count > 0, { timeout: 10000 });
    server.closeAllConnections();
    await new Promise((down) => server.close(down));
    await page.reload();
    await ready(page);
    const state = await kept(page);
    // What is kept of the former version goes when somebody says so twice.
    await page.$eval("#first", (e) => (e.open = true));
    await page.waitForSelector(".draft .sure button", { timeout: 10000 });
    await page.$eval(".draft .sure button", (e) => e.click());
    const asked = await page.$eval(".draft .sure", (e) => e.textContent);
    await page.$eval(".draft .yes", (e) => e.click());
    await page.waitForFunction(() => !document.querySelector(".draft"), { timeout: 10000 });
    const after = await kept(page);
    const errors = seen.errors.filter((e) => !/favicon/.test(e));
    return { offered, before, state, asked, after, errors };
  },

  // measures, with the rules on the page itself and the processor slowed down.
  async measure(q) {
    const browser = await launch(q);
    const out = {};
    for (const slower of [1, 6]) {
      const page = await browser.newPage();
      await page.setViewport(sizes.phone);
      const c = await page.createCDPSession();
      if (slower > 1) await c.send("Emulation.setCPUThrottlingRate", { rate: slower });
      await page.goto(q.url + "#main-thread");
      await ready(page);
      const times = await page.evaluate(() => ({ ready: performance.now() }));
      await begin(page);
      await choose(page, q.where, q.to);
      await page.waitForFunction(() => document.body.dataset.judged);
      const took = [];
      for (let i = 0; i < 15; i++) {
        const n = await page.evaluate((i) => {
          const e = document.querySelectorAll("#place input.number")[i % 4], n = Number(document.body.dataset.judged);
          e.value = "9 " + (1 + 2 * i) + "/64";
          e.dispatchEvent(new Event("input"));
          return n;
        }, i);
        await page.waitForFunction((n) => Number(document.body.dataset.judged) > n, { polling: 5 }, n);
        took.push(Number(await page.evaluate(() => document.body.dataset.took)));
      }
      took.sort((a, b) => a - b);
      const metrics = await page.metrics();
      const memory = await page.evaluate(() => performance.memory?.usedJSHeapSize);
      out["x" + slower] = { ready: Math.round(times.ready), median: took[7], worst: took[14], heap: metrics.JSHeapUsedSize, memory };
      await page.close();
    }
    await browser.close();
    return out;
  },
};

// run does one thing, or several with one browser; those that kill it start it
// themselves.
async function run(q) {
  if (["kill", "measure"].includes(q.does)) return does[q.does](q);
  const browser = await launch(q);
  try {
    if (!q.steps) return await does[q.does](q, browser);
    const out = [];
    for (const step of q.steps) out.push(await does[step.does]({ ...q, ...step }, browser));
    return out;
  } finally {
    await browser.close();
  }
}

run(JSON.parse(fs.readFileSync(0, "utf8"))).then((out) => process.stdout.write(JSON.stringify(out)), (e) => {
  console.error(e.stack || e);
  process.exit(1);
});
