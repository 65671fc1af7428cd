// Opens the page that verifies in a browser, from disk and with no network, gives
// it files as a person does, and prints what it shows as JSON: one line for each
// question. The questions come as JSON on standard input:
// {"browser", "program", "page", "width", "height", "shots", "workers", "questions": [{"report", "trust", "expect", "day", "save"}]}
const fs = require("fs");
const path = require("path");
const { pathToFileURL } = require("url");
const { webkit, pause } = require("./webdriver.cjs");

const ask = JSON.parse(fs.readFileSync(0, "utf8"));
const address = pathToFileURL(ask.page).href;

// A browser is given as what the questions need of it: "run" calls a function in the
// page, "choose" puts a file into a box, "picture" takes one of the page.

async function inWebKit(use) {
  return webkit(async (w) => {
    await w.ask("POST", "/window/rect", { width: ask.width, height: ask.height });
    await w.ask("POST", "/url", { url: address });
    await use({
      run: w.run, asked: [], wrong: [], // the page itself forbids requests, and no command of WebDriver tells of them
      choose: async (box, file) => {
        const found = await w.ask("POST", "/element", { using: "css selector", value: box });
        await w.ask("POST", `/element/${Object.values(found)[0]}/value`, { text: file });
      },
      picture: async (file) => fs.writeFileSync(file, Buffer.from(await w.ask("GET", "/screenshot"), "base64")),
    });
  });
}

async function inPuppeteer(use) {
  const { default: puppeteer } = await import(pathToFileURL(require.resolve("puppeteer-core")).href).then((m) => m.default.launch ? m : { default: m });
  const firefox = ask.browser === "firefox";
  const browser = await puppeteer.launch({
    browser: ask.browser, executablePath: ask.program, args: firefox ? [] : ["--no-sandbox", "--disable-gpu"],
    extraPrefsFirefox: { "browser.download.folderList": 2, "browser.download.dir": ask.shots, "browser.download.always_ask_before_handling_new_types": false },
  });
  try {
    const page = await browser.newPage();
    const asked = [], wrong = [];
    page.on("request", (r) => { if (!/^(file|blob|data):/.test(r.url())) asked.push(r.url()); });
    page.on("pageerror", (e) => wrong.push(String(e)));
    page.on("console", (m) => { if (m.type() === "error") wrong.push(m.text()); });
    await page.setViewport({ width: ask.width, height: ask.height, ...(firefox ? {} : { hasTouch: true }) });
    if (!firefox) await page.setOfflineMode(true);
    if (!ask.workers) await page.evaluateOnNewDocument(() => { window.Worker = function () { throw new Error("blocked"); }; });
    await page.goto(address);
    if (!firefox) {
      const client = await page.createCDPSession();
      await client.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: ask.shots, eventsEnabled: false });
    }
    await use({
      asked, wrong, run: (what, ...args) => page.evaluate(what, ...args),
      choose: async (box, file) => (await page.$(box)).uploadFile(file),
      picture: (file) => page.screenshot({ path: file, fullPage: true }),
    });
  } finally {
    await browser.close();
  }
}

// until waits for something in the page.
async function until(page, what, ...args) {
  for (const end = Date.now() + 60000; Date.now() < end; await pause(20)) if (await page.run(what, ...args)) return;
  throw new Error("waited in vain for " + what);
}

// expected says before a report is chosen what is expected of it.
function expected(day, roles, trust) {
  document.querySelector("details").open = true;
  document.getElementById("day").value = day;
  for (const box of document.querySelectorAll("input[name=expect]")) if (box.checked !== roles.includes(box.value)) box.click();
  if (trust) return;
  document.getElementById("trust").value = "";
  document.getElementById("trust").dispatchEvent(new Event("change"));
}

// shown is what the page shows.
function shown() {
  return {
    shown: !document.getElementById("found").hidden,
    state: document.getElementById("state").textContent, verdict: document.getElementById("verdict").textContent,
    answer: document.getElementById("answer").textContent,
    signatures: [...document.querySelectorAll("#signatures li")].map((e) => e.textContent),
    checks: [...document.querySelectorAll("#checks tr")].map((r) => [...r.cells].map((c) => c.textContent)),
    wide: document.documentElement.scrollWidth > innerWidth,
    small: [...document.querySelectorAll("button, input:not([type=checkbox]), summary, label:has(input)")].filter((e) => e.checkVisibility()).map((e) => [e, e.getBoundingClientRect()])
      .filter(([, r]) => r.height < 44 || r.width < 44).map(([e, r]) => `${e.outerHTML.slice(0, 60)} is ${r.width} x ${r.height} px`),
  };
}

function dropped(names) {
  const all = new DataTransfer();
  for (const name of names) all.items.add(new File(["%PDF-1.7"], name));
  document.dispatchEvent(new DragEvent("drop", { dataTransfer: all, bubbles: true, cancelable: true }));
}

async function questions(page) {
  await until(page, () => !document.getElementById("state").textContent.includes("unpacked"));
  for (const [n, q] of ask.questions.entries()) {
    await page.run(expected, q.day, q.expect || [], !!q.trust);
    if (q.trust) await page.choose("#trust", q.trust);
    if (q.drop) await page.run(dropped, q.drop);
    else await page.choose("#report", q.report);
    await until(page, (name) => document.getElementById("found").hidden ? /^(Cannot|The program)/.test(document.getElementById("state").textContent) :
      document.getElementById("verdict").textContent.includes(name), path.basename(q.report || "") + ":");
    const seen = await page.run(shown);
    if (ask.axe && seen.shown && n === 0) {
      await page.run(fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8"));
      const { violations } = await page.run(() => axe.run(document, { resultTypes: ["violations"] }));
      for (const v of violations) page.wrong.push(`${v.id}: ${v.nodes[0].html.slice(0, 100)}`);
    }
    if (q.save) {
      await page.run(() => document.getElementById("record").click());
      const file = path.join(ask.shots, "record.json");
      for (let i = 0; i < 100 && !fs.existsSync(file); i++) await pause(50);
    }
    await page.picture(path.join(ask.shots, `${n}.png`));
    console.log(JSON.stringify({ ...seen, asked: page.asked, wrong: page.wrong }));
  }
}

(ask.browser === "webkit" ? inWebKit : inPuppeteer)(questions).catch((e) => { console.error(e); process.exit(1); });
