// How long a sheet as a page takes in Chromium: until it can be filled in, until the
// verdict of its room stands, and from an entry to the verdict redrawn; with the
// rules on the page itself, as slowing a processor down does not reach workers.
// Pages are opened in turn, each in a browser's profile of its own, so that what the
// machine does beside it meets all alike.
//
// Reads {"program", "pages": [{"name", "url"}], "rates", "rounds", "where", "to"}
// from standard input and writes, for every page and rate, lists of milliseconds.
const fs = require("fs");
const puppeteer = require("puppeteer-core");

// clock runs in the page before anything of it: it goes to the room as soon as boxes
// are there, and takes the time of each state of the body.
function clock(where) {
  const times = (window.times = {});
  const took = (state) => (times[state] ??= performance.now());
  new MutationObserver(() => {
    const { filled, ready, judged } = document.body?.dataset || {};
    if (filled && !times.filled) {
      took("filled");
      if (document.getElementById("first").open) document.getElementById("begin").click();
      const pick = document.getElementById("where");
      pick.selectedIndex = [...pick.options].findIndex((o) => o.text === where);
      pick.dispatchEvent(new Event("change"));
      took("drawn");
    }
    if (ready) took("rules");
    if (judged) took("ready");
  }).observe(document, { attributes: true, subtree: true, attributeFilter: ["data-filled", "data-ready", "data-judged"] });
}

// entry changes a box, and gives the time until its verdict stands, and until the
// browser has shown it.
function entry(i) {
  const boxes = document.querySelectorAll("#place input.number"), box = boxes[i % boxes.length];
  const from = performance.now(), before = document.body.dataset.judged;
  return new Promise((done) => {
    const watch = new MutationObserver(() => {
      if (document.body.dataset.judged === before) return;
      watch.disconnect();
      const judged = performance.now() - from;
      const { port1, port2 } = new MessageChannel();
      port2.onmessage = () => done({ judged, shown: performance.now() - from });
      requestAnimationFrame(() => port1.postMessage(0)); // comes after the frame is drawn
    });
    watch.observe(document.body, { attributes: true, attributeFilter: ["data-judged"] });
    box.value = "9 " + (1 + 2 * (i % 31)) + "/64";
    box.dispatchEvent(new Event("input"));
  });
}

// memory is that of the process of the page, in bytes, where the system tells.
async function memory(browser) {
  const c = await browser.target().createCDPSession();
  const { processInfo } = await c.send("SystemInfo.getProcessInfo");
  const sizes = processInfo.filter((p) => p.type === "renderer").map((p) => {
    try {
      return 1024 * Number(/Pss:\s+(\d+)/.exec(fs.readFileSync(`/proc/${p.id}/smaps_rollup`, "utf8"))[1]);
    } catch {
      return 0;
    }
  });
  return Math.max(...sizes);
}

async function once(q, browser, page, rate, out) {
  const tab = await browser.newPage();
  await tab.setViewport({ width: 390, height: 844, hasTouch: true, isMobile: true });
  const c = await tab.createCDPSession();
  if (rate > 1) await c.send("Emulation.setCPUThrottlingRate", { rate });
  await tab.evaluateOnNewDocument(clock, q.where);
  await tab.goto(page.url + "#main-thread", { waitUntil: "load" });
  await tab.waitForFunction(() => window.times.ready, { polling: 50, timeout: 60000 });
  await tab.waitForFunction(() => document.body.dataset.ready, { polling: 50, timeout: 60000 });
  const { times, marks } = await tab.evaluate(() => ({ times: { ...window.times, painted: performance.getEntriesByName("first-contentful-paint")[0].startTime }, marks: performance.getEntriesByType("mark").map((m) => [m.name, m.startTime]) }));
  const add = (name, value) => (out[name] ??= []).push(value);
  for (const [name, value] of [...marks, ...Object.entries(times)]) add(name, value);
  await (await tab.waitForSelector(`[data-to="${q.to}"]`)).evaluate((e) => e.click());
  for (let i = 0; i < 2 + q.entries; i++) {
    const { judged, shown } = await tab.evaluate(entry, i);
    if (i >= 2) add("entry", judged), add("shown", shown); // the first warm up
  }
  add("memory", await memory(browser));
}

async function measured(q) {
  const all = {};
  for (let round = 0; round < q.rounds; round++) {
    for (const rate of q.rates) {
      for (const page of q.pages) {
        const browser = await puppeteer.launch({ browser: "chrome", executablePath: q.program, headless: true, args: ["--no-sandbox", "--disable-gpu"], protocolTimeout: 120000 });
        try {
          await once(q, browser, page, rate, (all[page.name + " x" + rate] ??= {}));
        } finally {
          await browser.close();
        }
      }
    }
  }
  return all;
}

measured(JSON.parse(fs.readFileSync(0, "utf8"))).then((out) => process.stdout.write(JSON.stringify(out)), (e) => {
  console.error(e.stack || e);
  process.exit(1);
});
