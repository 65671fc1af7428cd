// Opens the page that verifies in a browser, from disk and with no network, gives
// it files as a person does, and prints what it shows as JSON: one line for each
// question. The questions come as JSON on standard input:
// {"browser", "program", "page", "width", "height", "shots", "workers", "questions": [{"report", "trust", "expect", "day", "save"}]}
const fs = require("fs");
const path = require("path");
const { pathToFileURL } = require("url");

(async () => {
  const { default: puppeteer } = await import(pathToFileURL(require.resolve("puppeteer-core")).href).then((m) => m.default.launch ? m : { default: m });
  const ask = JSON.parse(fs.readFileSync(0, "utf8"));
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
    const began = Date.now();
    await page.goto(pathToFileURL(ask.page).href);
    await page.waitForFunction(() => !document.getElementById("state").textContent.includes("unpacked"), { timeout: 60000 });
    const ready = Date.now() - began;
    const folder = ask.shots;
    if (!firefox) {
      const client = await page.createCDPSession();
      await client.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: folder, eventsEnabled: false });
    }
    for (const [n, q] of ask.questions.entries()) {
      await page.evaluate((day) => { document.querySelector("details").open = true; document.getElementById("day").value = day; }, q.day);
      for (const role of ["inspector", "installer", "contractor"]) {
        const box = await page.$(`input[value=${role}]`);
        if (await box.evaluate((b) => b.checked) !== (q.expect || []).includes(role)) await box.evaluate((b) => b.click());
      }
      if (q.trust) await (await page.$("#trust")).uploadFile(q.trust);
      else await page.$eval("#trust", (input) => { input.value = ""; input.dispatchEvent(new Event("change")); });
      const before = Date.now();
      if (q.drop) await page.evaluate((names) => {
        const all = new DataTransfer();
        for (const name of names) all.items.add(new File(["%PDF-1.7"], name));
        document.dispatchEvent(new DragEvent("drop", { dataTransfer: all, bubbles: true, cancelable: true }));
      }, q.drop);
      else await (await page.$("#report")).uploadFile(q.report);
      await page.waitForFunction((name) => document.getElementById("found").hidden ? /^(Cannot|The program)/.test(document.getElementById("state").textContent) :
        document.getElementById("verdict").textContent.includes(name), { timeout: 60000 }, path.basename(q.report || "") + ":");
      const seen = await page.evaluate(() => ({
        shown: !document.getElementById("found").hidden,
        state: document.getElementById("state").textContent, verdict: document.getElementById("verdict").textContent,
        answer: document.getElementById("answer").textContent,
        signatures: [...document.querySelectorAll("#signatures li")].map((e) => e.textContent),
        checks: [...document.querySelectorAll("#checks tr")].map((r) => [...r.cells].map((c) => c.textContent)),
        wide: document.documentElement.scrollWidth > innerWidth,
        small: [...document.querySelectorAll("button, input:not([type=checkbox]), summary, label:has(input)")].filter((e) => e.checkVisibility()).map((e) => [e, e.getBoundingClientRect()])
          .filter(([, r]) => r.height < 44 || r.width < 44).map(([e, r]) => `${e.outerHTML.slice(0, 60)} is ${r.width} x ${r.height} px`),
      }));
      if (ask.axe && seen.shown && n === 0) {
        await page.evaluate(fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8"));
        const { violations } = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
        for (const v of violations) wrong.push(`${v.id}: ${v.nodes[0].html.slice(0, 100)}`);
      }
      if (q.save) {
        await page.$eval("#record", (b) => b.click());
        const file = path.join(folder, "record.json");
        for (let i = 0; i < 100 && !fs.existsSync(file); i++) await new Promise((r) => setTimeout(r, 50));
      }
      await page.screenshot({ path: path.join(folder, `${n}.png`), fullPage: true });
      console.log(JSON.stringify({ ...seen, ready, took: Date.now() - before, asked, wrong }));
    }
  } finally {
    await browser.close();
  }
})().catch((e) => { console.error(e); process.exit(1); });
