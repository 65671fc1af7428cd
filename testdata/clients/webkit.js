// What is done with a sheet as a page in WebKit: all is filled in, looked at, and
// saved. "fill" is what fill.js holds. WebDriver calls this with the answers, the
// words of a place, and what takes the outcome.
const [entries, where, done] = arguments;
const until = async (what) => {
  for (const end = Date.now() + 60000; Date.now() < end; await new Promise((go) => setTimeout(go, 50))) {
    const found = what();
    if (found) return found;
  }
  throw new Error("waited in vain for " + what);
};
(async () => {
  await until(() => document.body.dataset.ready);
  document.getElementById("begin").click();
  const nowhere = await fill(entries);
  const rests = () => document.getElementById("said").getAttribute("aria-busy") === "false" && ["kept", "blocked"].find((s) => s === document.getElementById("kept").dataset.state);
  const state = await until(rests);
  document.getElementById("list").click();
  const pick = document.getElementById("where");
  pick.selectedIndex = [...pick.options].findIndex((o) => o.text === where);
  pick.dispatchEvent(new Event("change"));
  await until(rests);
  const said = document.getElementById("said").textContent;
  const places = [...document.querySelectorAll(".place.unit, .place.joint")].map((e) => e.textContent);
  const wide = document.scrollingElement.scrollWidth - innerWidth;
  const url = URL.createObjectURL;
  const file = new Promise((got) => (URL.createObjectURL = (b) => (b.type === "text/html" && b.text().then(got), url.call(URL, b))));
  document.getElementById("save").click();
  return { nowhere, state, said, places, wide, file: await file, alarm: document.getElementById("alarm").textContent };
})().then(done, (e) => done({ failed: String(e) }));
