// The page as a whole: where one is, what is said of it, and what was entered last.

let sheet; // what is asked; see the writer in Go
const shown = { page: null, room: null, group: null, ask: null, list: false };

// changed has what was entered judged and kept. It is shown together with what it
// means, in one frame: what a browser draws of an entry costs more than judging it.
function changed(box) {
  text = null;
  rules.unjudged.add(box);
  toKeep();
  judge();
  showBusy();
  settle();
  if (!judging) showStates();
  else late ??= setTimeout(showVerdict, lateAfter);
}

// pending reports whether something was entered of which the rules that run have not
// said anything yet: until then what they said before is not shown as the answer.
const pending = () => rules.ready && !rules.failed && !!shown.room && (!rules.verdict || rules.unjudged.size + rules.asked.size > 0);

// showBusy tells who waits, such as what reads the page out, until all that is shown
// is of what was entered last.
function showBusy() {
  const said = document.getElementById("said"), busy = String(stating || pending());
  if (said.getAttribute("aria-busy") !== busy) said.setAttribute("aria-busy", busy);
}

const lateAfter = 100; // milliseconds, from which on one is told to wait
let late = null, settling = null;

// settle puts what was entered where it lasts, once this turn is over: one that
// sets several boxes has it done once.
function settle() {
  settling ??= setTimeout(() => {
    settling = null;
    live();
    keep();
    if (!db) showKept();
  });
}

// touched notes what was entered last; what it means stays in sight.
function touched(ask) {
  shown.ask = ask;
  if (!late) showSaid();
}

// unfold puts what travels packed into objects that know of each other.
function unfold(read) {
  sheet = read;
  sheet.asks = [];
  sheet.byName = new Map();
  sheet.usual = new Set();
  sheet.boxes = new Map(); // by name, the boxes of the same question of which one is ticked
  const visit = { title: "Visit", room: null, groups: sheet.visit };
  sheet.visitPage = visit;
  for (const page of [visit, ...sheet.pages]) {
    page.room = page === visit ? null : sheet.rooms.find((r) => r.name === page.room);
    for (const g of page.groups) {
      g.page = page;
      g.room = page.room;
      for (const a of g.asks) {
        a.group = g;
        a.rules = a.rules || [];
        for (const b of a.blanks) {
          b.choices = b.choices || [];
          if (b.usual) sheet.usual.add(b.name);
          const ticks = b.choices.map((c) => c.name).filter(Boolean);
          for (const name of ticks) sheet.boxes.set(name, b.kind === "several" ? [] : ticks);
          if (!ticks.length) sheet.boxes.set(b.name, []);
        }
        sheet.byName.set(a.name, a);
        sheet.asks.push(a);
      }
    }
  }
}

function cautions() {
  return el("div", { class: "cautions" }, el("h2", {}, "Cautions"), el("ul", {}, sheet.cautions.map((t) => el("li", {}, t))), el("p", { class: "code" }, sheet.codeNote));
}

// frame draws what is always there.
function frame() {
  const pick = el("select", { id: "where", "aria-label": "visit, or room and elevation", change: () => show([sheet.visitPage, ...sheet.pages][pick.selectedIndex]) }, [sheet.visitPage, ...sheet.pages].map((p) => el("option", {}, p.title)));
  const list = el("button", { type: "button", id: "list", "aria-pressed": "false", click: () => ((shown.list = !shown.list), list.setAttribute("aria-pressed", String(shown.list)), show(shown.page)) }, "List");
  block("app").inert = true; // until it is known what is kept here
  block("app").replaceChildren(
    el("header", {}, el("div", { class: "row" }, pick, list, el("button", { type: "button", id: "save", click: save }, "Save")), el("p", { id: "kept", role: "status" })),
    el("div", { id: "alarm", role: "alert" }),
    el("main", {}, el("details", { id: "first", open: true }, el("summary", {}, sheet.title + ", " + sheet.job), el("p", {}, el("b", {}, sheet.asked)), sheet.advice.map((t) => el("p", {}, t)), cautions(), el("div", { id: "drafts" }), el("button", { type: "button", id: "begin", click: begin }, "I have read this: begin")),
      el("div", { id: "columns", hidden: true }, el("div", { id: "left" }, el("h1", {}, ""), el("div", { id: "overview" })), el("div", { id: "place" }))),
    el("footer", { id: "foot" }, el("div", { id: "said", role: "region", tabindex: "0", "aria-label": "what was entered, and what it means", "aria-live": "polite", scroll: () => (scrolled = true) }), el("div", { id: "pad", hidden: true })));
  const foot = document.getElementById("foot"), top = document.querySelector("header");
  new ResizeObserver(() => {
    // Whatever is scrolled to or tabbed to comes between the two.
    const { style } = document.documentElement, head = getComputedStyle(top).position === "sticky" ? top.offsetHeight : 0;
    style.setProperty("--head", head + "px");
    style.setProperty("--foot", foot.offsetHeight + "px");
    style.scrollPaddingTop = head + 8 + "px";
    style.scrollPaddingBottom = foot.offsetHeight + 12 + "px";
    if (active && document.activeElement === active.box) reveal(active.box);
  }).observe(foot);
}

// openFrame lets the sheet be begun, or goes on with what is filled in.
function openFrame() {
  const first = document.getElementById("first");
  block("app").inert = false;
  if (count()) begin();
  first.addEventListener("toggle", () => (document.getElementById("columns").hidden = first.open) && showDrafts());
}

function begin() {
  document.getElementById("first").open = false;
  document.getElementById("columns").hidden = false;
  show(shown.page || sheet.visitPage);
}

function show(page) {
  if (shown.page !== page) scrollTo(0, 0);
  shown.page = page;
  shown.ask = null;
  document.getElementById("where").selectedIndex = page === sheet.visitPage ? 0 : 1 + sheet.pages.indexOf(page);
  if (shown.room !== page.room) {
    shown.room = page.room;
    rules.verdict = null;
    judge();
    showBusy();
  }
  write(document.querySelector("#left h1"), page.title);
  const all = shown.list || page === sheet.visitPage;
  document.body.classList.toggle("listed", all);
  document.getElementById("overview").replaceChildren(...(all ? [] : [drawing(page)]), ...(page.room ? [legend()] : []));
  go(all ? null : page.groups[0], true);
}

const legend = () => el("p", { class: "legend" }, worst.map((s) => el("span", {}, sign(s), " ", states[s].word)));

// go shows the boxes of a place; of the whole page where it is none.
function go(group, quietly) {
  shown.group = group;
  if (shown.ask && !answered(shown.ask)) shown.ask = null;
  inputs.clear();
  closePad();
  const place = document.getElementById("place");
  place.replaceChildren(...(group ? [group] : shown.page.groups).map(groupBoxes), walk());
  showHere();
  showStates();
  showSaid();
  if (quietly) return;
  const section = place.querySelector("section");
  section.focus({ preventScroll: true });
  section.scrollIntoView({ block: "start" });
}

// showHere shows in the drawing which place is filled in, and has it in sight.
function showHere() {
  const of = shown.group?.of;
  document.querySelectorAll(".place").forEach((e) => e.setAttribute("aria-current", String(e.dataset.to === of)));
  const here = document.querySelector(".scroll .place[aria-current=true]"), scroll = here?.closest(".scroll");
  if (!here) return;
  const from = here.offsetLeft - besideHere, to = here.offsetLeft + here.offsetWidth + besideHere;
  if (from < scroll.scrollLeft) scroll.scrollLeft = from;
  else if (to > scroll.scrollLeft + scroll.clientWidth) scroll.scrollLeft = to - scroll.clientWidth;
}

const besideHere = 24; // pixels of its neighbours that stay in sight

// allShown reports whether all of a page is shown, one below the other.
const allShown = () => shown.list || shown.page === sheet.visitPage;

// walk leads on to the next place in walking order, and back.
function walk() {
  const way = (id, words, to) => to && el("button", { type: "button", id, click: () => toPlace(to) }, words + (to.page === shown.page ? to.title : to.page.title));
  const up = !allShown() && el("button", { type: "button", id: "up", click: () => scrollTo(0, 0) }, "Drawing");
  return el("p", { class: "walk" }, way("back", "Back: ", beside(-1)), up, way("onward", "Next: ", beside(1)) || el("button", { type: "button", id: "finish", click: save }, "Save a copy"));
}

// beside gives the place before or after what is shown.
function beside(step) {
  const own = shown.group ? shown.page.groups : [];
  const near = own[own.indexOf(shown.group) + step];
  if (near) return near;
  const pages = [sheet.visitPage, ...sheet.pages];
  return pages[pages.indexOf(shown.page) + step]?.groups.at(step > 0 ? 0 : -1);
}

// toPlace goes to a place, and where somebody is typing on, to its first box.
function toPlace(group, typing) {
  closePad();
  if (!group) return document.activeElement.blur();
  if (group.page !== shown.page) show(group.page);
  if (!allShown()) go(group);
  const first = typing && boxesInSight().find(waits);
  if (first) first.focus();
}

function showVerdict() {
  clearTimeout(late);
  late = null;
  showStates();
  showSaid();
  showBusy();
}

function setState(e, state) {
  if (e.dataset.state === state) return;
  e.dataset.state = state;
  e.replaceChildren(...(state ? [sign(state), el("span", { class: "word " + state }, states[state].short)] : []));
}

let stating = false, scrolled = false;

// showStates shows what is known of every place in sight, once a frame.
function showStates() {
  if (stating) return;
  stating = true;
  showBusy();
  requestAnimationFrame(() => {
    stating = false;
    drawStates();
    showBusy();
  });
}

function drawStates() {
  const page = shown.page;
  if (!page) return;
  const asks = sheet.byName;
  drawn = new Map();
  for (const e of document.querySelectorAll("#place .ask")) setState(e.querySelector(".state"), stateOf(asks.get(e.dataset.ask)));
  for (const e of document.querySelectorAll("#place [data-asks]")) setState(e.querySelector(".key .state"), stateOfAll(e.dataset.asks.split(" ").filter(Boolean).map((n) => asks.get(n))));
  for (const e of document.querySelectorAll("#place section")) {
    const g = page.groups.find((g) => g.of === e.dataset.of);
    if (g) setState(e.querySelector("h3 .state"), stateOfAll(g.asks));
  }
  for (const e of document.querySelectorAll(".place")) {
    const g = page.groups.find((g) => g.of === e.dataset.to);
    const state = stateOfAll(g.asks);
    setState(e.querySelector(".state"), state);
    const open = g.asks.filter((a) => stateOf(a) === "open").length;
    write(e.querySelector(".said"), e.classList.contains("whole") || e.classList.contains("alone") ? (open ? open + " not observed" : "") : "");
  }
  drawn = null;
}

// write sets a text, and leaves it to itself where it is that already: the browser
// would lay the page out anew.
function write(e, text) {
  text = visible(text);
  if (e.textContent !== text) e.textContent = text;
}

// showSaid says what was entered last, and what the rules make of it.
function showSaid() {
  const said = document.getElementById("said");
  const ask = shown.ask;
  said.classList.toggle("told", !!ask);
  if (!ask) return said.replaceChildren(...summary());
  if (unjudged(ask)) return said.replaceChildren(enteredLine(ask), ...(rules.ready ? [el("p", { class: "means" }, "Being judged…")] : []));
  const lines = [enteredLine(ask)];
  for (const b of rules.verdict?.refused || []) if (isIn(b.box, ask.name)) lines.push(el("p", { class: "means doubt" }, "Found " + b.found + ", expected " + b.expected + ". ", b.mend && el("span", { class: "remedy" }, "→ " + b.mend)));
  const asked = doubtsOf(ask);
  for (const b of asked) lines.push(doubtLine(b));
  if (standsIn(ask)) lines.push(el("p", { class: "means" }, "You said that it stands as read."));
  // What is asked comes first: of a slip the rules have nothing to say.
  const results = asked.length ? [] : [...resultsOf(ask)].sort((a, b) => rank(a) - rank(b));
  const waits = answered(ask) ? results.filter((r) => r.outcome === "not observed") : [];
  const told = new Set(); // what is said of all says the same of each
  for (const r of results) {
    const same = [r.rule, r.outcome, r.finding, r.remedy].join("\n");
    if (waits.includes(r) || told.has(same)) continue;
    told.add(same);
    lines.push(el("p", { class: "means" }, el("b", {}, r.rule + ": " + (r.outcome === "pass" ? "holds" : r.outcome === "fail" ? "does not hold" : r.outcome) + ". "), r.finding + ". ", r.remedy && ["fail", "undecided"].includes(r.outcome) && el("span", { class: "remedy" }, "→ " + r.remedy)));
  }
  if (waits.length) lines.push(el("p", { class: "means" }, "Not judged before the rest is read: " + [...new Set(waits.map((r) => r.rule))].join(", ") + "."));
  if (!asked.length) lines.push(...stillAsked());
  // Whoever is at one of these buttons stays there while it is drawn anew.
  said.classList.toggle("asking", lines.some((e) => e.matches(".doubt")));
  const at = said.contains(document.activeElement) && document.activeElement.dataset.does;
  said.replaceChildren(...lines);
  if (at) said.querySelector(`[data-does="${at}"]`)?.focus();
  // Where it is scrolled to takes a layout, and seldom is anywhere else.
  if (scrolled) said.scrollTop = 0;
  scrolled = false;
  showStates();
}

const rank = (r) => ["fail", "undecided", "not observed", "notice", "conceded", "pass"].indexOf(r.outcome);

function valueOf(b) {
  const ticks = b.choices.filter((c) => c.name && answers.entries[c.name]).map((c) => c.words);
  if (ticks.length) return ticks.join(", ");
  const text = answers.entries[b.name];
  return typeof text === "string" && text ? text + (b.kind === "length" && /^[-−\d\s./⁄\p{No}]+$/u.test(text) ? " " + sheet.unit : "") : "";
}

function enteredLine(ask) {
  const state = stateOf(ask);
  const value = ask.blanks.map((b) => valueOf(b)).filter(Boolean).join(", ");
  return el("p", { class: "entered" }, state && sign(state), el("b", {}, value || "nothing yet"), " ", ask.group.title + ", " + ask.words, ask.limit && el("span", { class: "limit" }, ask.limit), state && el("span", { class: "word " + state }, states[state].word));
}

const doubtsOf = (ask) => (rules.verdict?.doubted || []).filter((b) => isIn(b.box, ask.name));

const standsIn = (ask) => Object.keys(answers.stands).some((box) => isIn(box, ask.name) && answers.stands[box] === standing(box));

// doubtLine asks about a value that is likely a slip.
function doubtLine(b) {
  const stands = el("button", { type: "button", class: "tick", "data-does": "stands", click: () => {
    answers.stands[b.box] = standing(b.box);
    const box = boxOf(b.box);
    if (rules.verdict) rules.verdict.doubted = rules.verdict.doubted.filter((d) => d !== b); // it is answered
    changed(b.box);
    if (box) nextBox(box, true);
    else showSaid();
  } }, "It stands as read");
  const mend = el("button", { type: "button", class: "tick", "data-does": "mend", click: () => boxOf(b.box)?.focus() }, "Enter it again");
  return el("p", { class: "means doubt" }, el("b", {}, "Is that right? "), "Found " + b.found + ", expected " + b.expected + ". ", mend, " ", stands);
}

// boxOf finds the box in sight in which a value stands; of two that go together,
// the last.
const boxOf = (name) => [...inputs].filter(([box]) => isIn(box, name)).map(([, e]) => e).pop();

// stillAsked leads back to values that were passed over while they are in doubt.
function stillAsked() {
  const b = (rules.verdict?.doubted || []).find((d) => !reading && askOf(d.box));
  if (!b) return [];
  const ask = askOf(b.box);
  const back = () => {
    if (ask.group.page !== shown.page) show(ask.group.page);
    if (!boxOf(b.box)) go(ask.group);
    boxOf(b.box)?.focus();
  };
  return [el("p", { class: "means doubt" }, "Still to be said whether it is right: ", el("button", { type: "button", class: "tick", "data-does": "back", click: back }, ask.group.title + ", " + ask.words))];
}

const askOf = (box) => sheet.asks.find((a) => isIn(box, a.name));

// summary says how the room stands while nothing is being entered.
function summary() {
  if (rules.failed) return [el("p", { class: "means doubt" }, "The rules cannot judge here (" + rules.failed + "). What you enter is kept all the same.")];
  if (!shown.room) return [];
  if (pending()) return [el("p", { class: "means" }, "Being judged…")];
  if (!rules.verdict || rules.unjudged.size) return [el("p", { class: "means" }, "The rules are being read…")];
  const n = (o) => rules.verdict.results.filter((r) => r.outcome === o && (!r.elevation || r.elevation === shown.page.name)).length;
  const fails = rules.verdict.results.filter((r) => r.outcome === "fail" && (!r.elevation || r.elevation === shown.page.name));
  return [...stillAsked(), el("p", { class: "entered sum" }, sign(n("fail") ? "fails" : n("not observed") ? "open" : "holds"), el("b", {}, `${n("pass")} hold, ${n("fail")} do not, ${n("undecided")} doubtful, ${n("not observed")} not observed`)),
    ...fails.slice(0, 3).map((r) => el("p", { class: "means" }, el("b", {}, r.name + ", " + r.rule + ". "), r.finding + ". ", r.remedy && el("span", { class: "remedy" }, "→ " + r.remedy)))];
}

// showKept says where what was entered is.
function showKept() {
  const e = document.getElementById("kept");
  if (!e) return;
  e.dataset.state = kept.state;
  e.dataset.count = kept.count;
  const n = count(), boxes = (k) => k + (k === 1 ? " answer" : " answers");
  const parts = [];
  if (reading) parts.push("Open in another tab: here it can only be read.");
  else if (kept.state === "blocked") parts.push("NOT KEPT on this device.");
  else if (kept.state === "keeping") parts.push(boxes(n) + " being kept here…"); // as long as what comes after
  else if (kept.state === "kept" && n) parts.push(boxes(kept.count) + " kept on this device.");
  else if (!n) parts.push("Nothing entered yet.");
  if (n) parts.push(unsaved() ? (savedOnce() ? "Changed since it was saved." : "No saved copy yet.") : "Saved" + (saved.at ? " as " + saved.name + " at " + clock(saved.at) : "") + ".");
  if (answers.entries.date && answers.entries.date !== today()) parts.push("The visit is of " + answers.entries.date + ", not of today.");
  write(e, parts.join(" "));
  e.title = kept.at ? "at " + clock(kept.at) : "";
  const alarm = document.getElementById("alarm"), told = kept.state === "blocked" ? kept.why : reading;
  if (alarm.told === told) return;
  alarm.told = told;
  alarm.replaceChildren(...(kept.state === "blocked" ? [el("p", {}, el("b", {}, "This browser keeps nothing: "), kept.why + ". What you enter is lost when this page closes. Press Save before that.")] : reading ? [el("p", {}, el("b", {}, "This sheet is open in another tab. "), "Go on there, or close it and "), el("button", { type: "button", click: () => location.reload() }, "try again")] : []));
}

let dayShown = today();

// dayChanged says on the next day what is otherwise then: a sheet is taken up again
// where it was laid down.
function dayChanged() {
  if (dayShown === today()) return;
  dayShown = today();
  showKept();
  judge();
  showBusy();
}

async function main() {
  const unpacking = unpackRules(), opening = openStore();
  opening.catch(() => {}); // startKeeping says what it did
  unfold(JSON.parse(new TextDecoder().decode(await unpacked("sheet"))));
  taken(block("answers").textContent);
  for (const p of answers.photos) p.data = photoData(p.id);
  answers.photos = answers.photos.filter((p) => isBase64(p.data));
  saved.text = written();
  frame(); // can be read while it is looked up what is kept here
  await startKeeping(opening);
  live();
  openFrame();
  showKept();
  showDrafts();
  document.body.dataset.filled = "true"; // it can be filled in
  addEventListener("pagehide", left);
  document.addEventListener("visibilitychange", () => (document.hidden ? left() : dayChanged()));
  addEventListener("beforeunload", (e) => count() && unsaved() && kept.state === "blocked" && e.preventDefault());
  if (document.querySelector("link[rel=manifest]") && "serviceWorker" in navigator && location.protocol.startsWith("http")) navigator.serviceWorker.register("worker.js").catch(() => {});
  try {
    await startRules(unpacking);
  } catch (e) {
    rulesFailed(e);
  }
  document.body.dataset.ready = "true";
  judge();
  showVerdict();
}

main();
