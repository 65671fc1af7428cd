// Nothing is lost: what is entered is kept in the browser's database, strictly
// durable, under the name of this sheet and of the copy that was opened. What the
// page shows as kept is on disk. All of what is read back is held to be anybody's:
// every page that was opened from disk shares that database.

const kept = { state: "", count: 0, at: null, why: "" }; // state: "", keeping, kept, blocked
let reading = false; // another tab has the sheet
let place = ""; // of the draft
let db = null;
let writing = false, waiting = false;
const stored = new Set(); // photographs of this sheet that the database holds, by their names

function openStore() {
  return new Promise((done, fail) => {
    const ask = indexedDB.open("setline-sheets", 1);
    ask.onupgradeneeded = () => {
      ask.result.createObjectStore("drafts");
      ask.result.createObjectStore("photos");
    };
    ask.onsuccess = () => {
      ask.result.onclose = ask.result.onversionchange = () => cleared(ask.result);
      done(ask.result);
    };
    ask.onerror = () => fail(ask.error);
    ask.onblocked = () => fail(new Error("another tab holds it"));
  });
}

const settled = (ask) => new Promise((done, fail) => ((ask.onsuccess = () => done(ask.result)), (ask.onerror = () => fail(ask.error))));

// cleared keeps all anew where somebody clears the browser's storage while the sheet
// is open: what is entered is still here.
async function cleared(was) {
  was.close(); // so that it can go
  if (db !== was) return;
  db = null;
  try {
    db = await openStore();
    stored.clear();
    await keep();
  } catch (e) {
    blocked(e);
    showKept();
  }
}

// startKeeping finds what was kept of this copy before, and takes it over. It waits
// for the lock first: what another tab still writes would be lost.
async function startKeeping(opening) {
  place = sheet.id + "/" + mark(block("answers").textContent);
  const held = hold();
  try {
    db = await opening;
    reading = !(await held);
    const reads = db.transaction(["drafts", "photos"]);
    const draft = await settled(reads.objectStore("drafts").get(place));
    if (draft && typeof draft.answers === "string") {
      const photos = reads.objectStore("photos");
      answers.entries = {};
      answers.stands = {};
      answers.photos = [];
      taken(draft.answers);
      for (const p of answers.photos) {
        p.data = await settled(photos.get(p.id));
        if (isBase64(p.data)) stored.add(p.id);
        else p.data = photoData(p.id);
      }
      answers.photos = answers.photos.filter((p) => isBase64(p.data));
      text = null;
      saved.text = typeof draft.saved === "string" ? draft.saved : "";
      kept.state = "kept";
      kept.count = count();
      kept.at = new Date(draft.at);
    }
    navigator.storage?.persist?.().catch(() => {});
  } catch (e) {
    db = null;
    blocked(e);
  }
}

function blocked(e) {
  kept.state = "blocked";
  kept.why = String((e && (e.message || e.name)) || e || "the browser gives no storage").replace(/\.$/, "");
}

// toKeep notes that something was entered that is not kept yet. Where nothing could be
// kept before, the alarm stays until it is.
function toKeep() {
  if (db && !reading && kept.state !== "blocked") document.getElementById("kept").dataset.state = kept.state = "keeping";
}

// keep writes the draft with its photographs, and takes out those that were taken
// away, all of it or nothing. While one is being written the next waits. What could
// not be written, for one because the device is full, is tried again with the next.
async function keep() {
  if (!db || reading) return;
  if (writing) {
    waiting = true;
    return;
  }
  writing = true;
  toKeep();
  const told = setTimeout(showKept, lateAfter); // until then it says how many are
  const n = count(), at = new Date(), own = db;
  try {
    await writeDraft(own, draftNow(at));
    if (!waiting && !settling) Object.assign(kept, { state: "kept", count: n, at });
  } catch (e) {
    if (own === db) blocked(e);
    else waiting = true; // it was cleared meanwhile
  }
  clearTimeout(told);
  writing = false;
  showKept();
  if (waiting) {
    waiting = false;
    keep();
  }
}

const draftNow = (at) => ({ answers: written(), saved: saved.text, at: at.getTime(), title: sheet.job, plan: planMark() });

// left writes what was entered last, without waiting for its turn: the page may be gone
// before it comes.
function left() {
  if (!db || reading || kept.state !== "keeping") return;
  if (settling) live();
  writeDraft(db, draftNow(new Date())).catch(() => {}); // keep says what becomes of it, where there is somebody to tell
}

async function writeDraft(own, draft) {
  const photos = answers.photos.slice(), fresh = photos.filter((p) => !stored.has(p.id));
  const away = [...stored].filter((id) => !photos.some((p) => p.id === id));
  const tx = own.transaction(fresh.length + away.length ? ["drafts", "photos"] : ["drafts"], "readwrite", { durability: "strict" });
  const drafts = tx.objectStore("drafts");
  drafts.put(draft, place);
  for (const p of fresh) tx.objectStore("photos").put(p.data, p.id);
  if (away.length) await dropPhotos(tx, away);
  else tx.commit?.(); // or it waits for a turn that a page that is left does not get
  await completed(tx);
  for (const p of fresh) stored.add(p.id);
  for (const id of away) stored.delete(id);
}

// dropPhotos deletes photographs that no draft is left of.
async function dropPhotos(tx, ids) {
  const drafts = await settled(tx.objectStore("drafts").getAll());
  const left = new Set(drafts.flatMap((d) => answersIn(d && d.answers)?.photos || []).map((p) => p.id));
  for (const id of ids) if (!left.has(id)) tx.objectStore("photos").delete(id);
}

const completed = (tx) => new Promise((done, fail) => ((tx.oncomplete = done), (tx.onabort = tx.onerror = (e) => fail(e.target.error || tx.error))));

// hold takes the lock of this sheet, so that two tabs do not write over each
// other; a page that was just left gives it up in a moment.
function hold() {
  return new Promise((done) => {
    if (!navigator.locks) return done(true);
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), 1500);
    navigator.locks.request("setline " + place, { signal: patience.signal }, () => {
      clearTimeout(timer);
      done(true);
      return new Promise(() => {}); // until the page goes
    }).catch(() => done(false));
  });
}
