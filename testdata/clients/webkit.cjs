// A field sheet as a page in WebKit, opened from disk: all is filled in, looked at,
// and saved; then more sheets are.
//
// Reads {"url", "entries", "where", "more"} from standard input and writes one JSON
// object.
const fs = require("fs");
const path = require("path");
const { webkit } = require("./webdriver.cjs");

const fill = fs.readFileSync(path.join(__dirname, "fill.js"), "utf8");

// filled is run in the page: it fills in the answers, and gives what stands there then.
const filled = `async (entries, ready) => {
  const until = ${until};
  await until(() => document.body.dataset[ready]);
  document.getElementById("begin").click();
  const nowhere = await (${fill})(entries);
  const rests = () => document.getElementById("said").getAttribute("aria-busy") !== "true" && ["kept", "blocked"].find((s) => s === document.getElementById("kept").dataset.state);
  const state = await until(rests);
  return { nowhere, state, block: document.getElementById("setline-answers").textContent, alarm: document.getElementById("alarm").textContent };
}`;

async function until(what) {
  for (const end = Date.now() + 60000; Date.now() < end; await new Promise((go) => setTimeout(go, 50))) {
    const found = what();
    if (found) return found;
  }
  throw new Error("waited in vain for " + what);
}

// looked is run in the page: it goes to a place, and gives what is said there, and the
// file that is saved.
const looked = `async (where) => {
  const until = ${until};
  document.getElementById("list").click();
  const pick = document.getElementById("where");
  pick.selectedIndex = [...pick.options].findIndex((o) => o.text === where);
  pick.dispatchEvent(new Event("change"));
  await until(() => document.getElementById("said").getAttribute("aria-busy") === "false");
  const said = document.getElementById("said").textContent;
  const places = [...document.querySelectorAll(".place.unit, .place.joint")].map((e) => e.textContent);
  const wide = document.scrollingElement.scrollWidth - innerWidth;
  const url = URL.createObjectURL;
  const file = new Promise((got) => (URL.createObjectURL = (b) => (b.type === "text/html" && b.text().then(got), url.call(URL, b))));
  document.getElementById("save").click();
  return { said, places, wide, file: await file };
}`;

const q = JSON.parse(fs.readFileSync(0, "utf8"));
webkit(async ({ ask, run }) => {
  await ask("POST", "/window/rect", { width: 390, height: 844 });
  await ask("POST", "/url", { url: q.url });
  const first = { ...(await run(filled, q.entries, "ready")), ...(await run(looked, q.where)), more: [] };
  for (const sheet of q.more) {
    await ask("POST", "/url", { url: sheet.url });
    first.more.push(await run(filled, sheet.entries, "filled"));
  }
  return first;
}).then((out) => process.stdout.write(JSON.stringify(out)), (e) => {
  console.error(e.stack || e);
  process.exit(1);
});
