// What is kept on this device: of this sheet, of copies of it, and of sheets that
// were made again since. Whoever opens a sheet is told, can take up what was
// entered elsewhere, and tidies by hand; nothing goes by itself.

const oldDays = 30; // since then a draft that was saved as a copy is offered for deletion
const oldestDays = 365; // and one that never was
const day = 24 * 3600 * 1000;

// listed are the drafts of other copies and sheets, the last kept first.
async function listed() {
  if (!db) return [];
  const store = db.transaction("drafts").objectStore("drafts");
  const [names, drafts] = await Promise.all([settled(store.getAllKeys()), settled(store.getAll())]);
  const held = (await navigator.locks?.query?.().catch(() => null))?.held?.map((l) => l.name) || [];
  return names.map((name, i) => about(String(name), drafts[i], held)).filter((d) => d && d.place !== place && d.count > 0).sort((a, b) => b.at - a.at);
}

// about says what is known of a draft; null where it is none.
function about(name, draft, held) {
  const block = answersIn(draft && draft.answers);
  if (!block) return null;
  const at = Number(draft.at) || 0, boxes = Object.keys(block.entries).filter((n) => block.entries[n] !== "");
  return {
    place: name, block, at, count: boxes.length + block.photos.length, photos: block.photos.length,
    title: typeof draft.title === "string" ? draft.title : name.startsWith(sheet.id + "/") ? sheet.job : "another sheet",
    fits: boxes.filter((n) => sheet.boxes.has(n)).length, samePlan: name.startsWith(sheet.id + "/") || draft.plan === planMark(),
    saved: typeof draft.saved === "string" && draft.saved === draft.answers, open: held.includes("setline " + name),
    old: Date.now() - at > (draft.saved === draft.answers ? oldDays : oldestDays) * day,
  };
}

let planMarked;
const planMark = () => (planMarked ??= mark(block("plan").textContent.replace(/\s+/g, "")));

// showDrafts shows them before a sheet is begun; loudly where this one is empty
// and what is kept belongs to the same job.
async function showDrafts() {
  const shelf = document.getElementById("drafts");
  const all = await listed().catch(() => []);
  const own = all.filter((d) => d.fits && (d.title === sheet.job || d.samePlan)), others = all.filter((d) => !own.includes(d));
  const old = all.filter((d) => d.old && !d.open);
  shelf.replaceChildren(...(count() && !reading ? [emptying()] : []), ...(all.length === 0 ? [] : [
    el("h2", {}, "Kept on this device"),
    own.map(draftBox),
    others.length > 0 && el("details", {}, el("summary", {}, others.length + (others.length === 1 ? " sheet of another job" : " sheets of other jobs")), others.map(draftBox)),
    old.length > 1 && sureButton("Delete " + old.length + " old ones", "They were kept over " + oldDays + " days ago and saved as copies, or over " + oldestDays + " days ago.", () => dropDrafts(old)),
  ].flat().filter(Boolean)));
}

// emptying offers to begin again: on another day, or where all was a mistake.
function emptying() {
  const what = unsaved() ? "There is no other copy of what is on it now." : "The saved copy stays.";
  return el("div", { id: "emptying" }, el("p", {}, "One sheet is one visit, of one day. For another, save this one and empty it."), sureButton("Empty this sheet", what, () => {
    Object.assign(answers, { entries: {}, stands: {}, photos: [] });
    changed("drafts");
    begin();
    show(sheet.visitPage);
  }));
}

function draftBox(d) {
  const what = [d.count - d.photos + " answers", d.photos && (d.photos === 1 ? "1 photograph" : d.photos + " photographs")].filter(Boolean).join(", ");
  const state = d.open ? "open in another tab" : d.saved ? "saved as a copy" : "never saved as a copy";
  const line = el("p", {}, el("b", {}, d.title), " " + what + ", kept " + dated(new Date(d.at)) + ", " + state + ".", d.old && el("span", { class: "old" }, " Old."));
  return el("div", { class: "draft" }, line,
    !d.samePlan && d.fits > 0 && el("p", { class: "means doubt" }, "It is of another version of the sheet: look whether each answer still belongs where it stands."),
    el("div", { class: "boxes" }, d.fits > 0 && !reading && el("button", { type: "button", class: "take-up", click: () => takeUp(d) }, "Take these answers up here"),
      !d.open && sureButton("Delete", d.saved ? "The saved copy stays." : "There is no other copy of them.", () => dropDrafts([d]))));
}

// sureButton asks once more before it does anything.
function sureButton(words, what, then) {
  const box = el("span", { class: "sure" });
  const first = el("button", { type: "button", click: () => {
    const no = el("button", { type: "button", click: () => (box.replaceChildren(first), first.focus()) }, "No, keep");
    box.replaceChildren(el("span", { class: "means" }, what + " "), el("button", { type: "button", class: "yes", click: then }, "Yes, delete"), no);
    no.focus();
  } }, words);
  box.append(first);
  return box;
}

// takeUp fills the boxes that are empty here, and says what it left alone.
async function takeUp(d) {
  const photos = db.transaction("photos").objectStore("photos");
  const data = await Promise.all(d.block.photos.map((p) => settled(photos.get(p.id))));
  let taken = 0, other = 0, unknown = 0;
  for (const [name, value] of Object.entries(d.block.entries)) {
    if (value === "") continue;
    if (!sheet.boxes.has(name)) unknown++;
    else if (clashes(name, value)) other++;
    else (answers.entries[name] = value), taken++;
  }
  d.block.photos.forEach((p, i) => {
    if (!isBase64(data[i]) || answers.photos.some((q) => q.id === p.id && q.room === p.room && q.of === p.of)) return;
    answers.photos.push({ ...p, data: data[i] });
    taken++;
  });
  const same = (box) => Object.keys(d.block.entries).every((name) => !isIn(name, box) || answers.entries[name] === d.block.entries[name]);
  for (const box of d.block.stands) if (same(box)) answers.stands[box] = standing(box);
  changed("drafts");
  const left = [other && other + " that say something else here stay as they are here", unknown && unknown + " are of boxes that this sheet does not have"].filter(Boolean);
  document.getElementById("drafts").replaceChildren(el("p", { class: "taken", role: "status" }, el("b", {}, taken + " answers taken up. "), left.length > 0 && left.join("; ") + ". ", "They stay kept where they were, too."));
  if (shown.page) show(shown.page);
}

// clashes reports whether a box, or another answer to its question, holds something
// else.
function clashes(name, value) {
  const here = answers.entries[name];
  if (here !== undefined && here !== "" && here !== value) return true;
  const beside = sheet.boxes.get(name);
  return value === true && beside.some((other) => other !== name && answers.entries[other] === true) && here !== true;
}

// dropDrafts deletes drafts, and the photographs that no draft is left of.
async function dropDrafts(gone) {
  try {
    const tx = db.transaction(["drafts", "photos"], "readwrite", { durability: "strict" });
    for (const d of gone) tx.objectStore("drafts").delete(d.place);
    const own = new Set(answers.photos.map((p) => p.id));
    await dropPhotos(tx, gone.flatMap((d) => d.block.photos).map((p) => p.id).filter((id) => !own.has(id)));
    await completed(tx);
  } catch (e) {
    blocked(e);
    showKept();
  }
  showDrafts();
}

const dated = (d) => (isNaN(d) ? "some time ago" : d.getFullYear() + "-" + String(d.getMonth() + 1).padStart(2, "0") + "-" + String(d.getDate()).padStart(2, "0") + " at " + clock(d));
