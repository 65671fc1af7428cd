// Nothing is lost: what is entered is kept in the browser's database, strictly
// durable, under the name of this sheet and of the copy that was opened. What the
// page shows as kept is on disk. All of what is read back is held to be anybody's:
// every page that was opened from disk shares that database.

const kept = { state: "", count: 0, at: null, why: "" }; // state: "", keeping, kept, blocked
let reading = false; // another tab has the sheet
let place = ""; // of the draft
let db = null;
let writing = false, waiting = false;

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
    for (const p of answers.photos) await keepPhoto(p);
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
      for (const p of answers.photos) p.data = (await settled(photos.get(p.id))) || photoData(p.id);
      answers.photos = answers.photos.filter((p) => typeof p.data === "string");
      text = null;
      saved.text = typeof draft.saved === "string" ? draft.saved : "";
      kept.state = "kept";
      kept.count = count();
      kept.at = new Date(draft.at);
    }
    navigator.storage?.persist?.().catch(() => {});
  } catch (e) {
    blocked(e);
  }
}

function blocked(e) {
  db = null;
  kept.state = "blocked";
  kept.why = String((e && (e.message || e.name)) || e || "the browser gives no storage").replace(/\.$/, "");
}

// toKeep notes that something was entered that is not kept yet.
function toKeep() {
  if (db && !reading) document.getElementById("kept").dataset.state = kept.state = "keeping";
}

// keep writes the draft. While one is being written the next waits.
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
    const tx = own.transaction("drafts", "readwrite", { durability: "strict" });
    tx.objectStore("drafts").put({ answers: written(), saved: saved.text, at: at.getTime(), title: sheet.job, plan: planMark() }, place);
    await completed(tx);
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

const completed = (tx) => new Promise((done, fail) => ((tx.oncomplete = done), (tx.onabort = tx.onerror = () => fail(tx.error))));

async function keepPhoto(p) {
  if (!db || reading) return;
  try {
    const tx = db.transaction("photos", "readwrite", { durability: "strict" });
    tx.objectStore("photos").put(p.data, p.id);
    await completed(tx);
  } catch (e) {
    blocked(e);
    showKept();
  }
}

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
