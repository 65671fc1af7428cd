// The rules, asked after every entry.

const rules = {
  ready: false,
  failed: "",
  room: "", // that is open
  told: {}, // of that room: what its boxes held when they were last told
  results: [], // and the results that came of it
  verdict: null, // the last, of the room that is shown
  of: new Map(), // its results by what they are of
  unjudged: new Set(), // boxes that changed since the last question
  asked: new Set(), // and those of the question under way
  took: 0, // milliseconds from the last entry to its verdict
};

let send; // a request as JSON text to an answer as JSON text

// read is when the document has been read to its end, where the program stands.
const read = new Promise((done) => (document.readyState === "loading" ? addEventListener("DOMContentLoaded", done) : done()));

const here = /main-thread/.test(location.hash); // for those who measure

// unpackRules begins to unpack them beside the page, which is drawn meanwhile: in a
// worker, where they go on to run; or on the page, where none starts.
function unpackRules() {
  const unpacking = inWorker();
  unpacking.catch(() => {}); // startRules says what it did
  return unpacking;
}

// startRules starts what was unpacked.
async function startRules(unpacking) {
  const begun = await unpacking.catch(async () => (await read, { module: await setlineModule(block("rules").textContent) }));
  performance.mark("unpacked");
  send = begun.ask;
  if (!send) {
    // At once: whatever the browser drew between an entry and its verdict it would
    // draw twice.
    const ask = await setlineStart(begun.module);
    send = async (text) => ask(text);
  }
  performance.mark("started");
  rules.ready = true;
}

// inWorker gives what asks the rules in a worker, or for those who measure only the
// program, which they run on the page.
async function inWorker() {
  const source = block("engine").textContent;
  const worker = new Worker(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
  const waiting = new Map();
  let next = 1;
  const ask = (text) => new Promise((done, fail) => {
    waiting.set(next, { done, fail });
    worker.postMessage({ id: next++, text });
  });
  return new Promise((started, fail) => {
    worker.onerror = (e) => fail(e);
    worker.onmessage = ({ data }) => {
      if (data.started) return started({ ask });
      if (data.module) return worker.terminate(), started({ module: data.module });
      const w = waiting.get(data.id);
      waiting.delete(data.id);
      if (!w) return fail(new Error(data.failed));
      if (data.failed) w.fail(new Error(data.failed));
      else w.done(data.answer);
    };
    read.then(() => worker.postMessage({ packed: block("rules").textContent, only: here }));
  });
}

async function request(what) {
  const answer = JSON.parse(await send(JSON.stringify(what)));
  if (answer.error) throw new Error(answer.error);
  return answer;
}

let judging = false, again = false, since = 0;

// judge asks the rules about the room that is shown. Of entries that come while
// they are at work the last counts.
async function judge() {
  if (rules.failed || !shown.room) return;
  if (!rules.ready) return firstVerdict(shown.room);
  since = since || performance.now();
  if (judging) {
    again = true;
    return;
  }
  judging = true;
  const room = shown.room, from = since;
  since = 0;
  try {
    if (rules.room !== room.name) {
      await new Promise((done) => setTimeout(done)); // what is shown is drawn first
      await request({ open: room.record });
      performance.mark("opened");
      Object.assign(rules, { room: room.name, told: {}, results: [] });
    }
    rules.asked = rules.unjudged;
    rules.unjudged = new Set();
    const verdict = (await request({ judge: question(room) })).verdict;
    rules.asked = new Set();
    // What has not changed comes as its number in the last verdict.
    rules.results = verdict.results = verdict.results.map((r) => (typeof r === "number" ? rules.results[r] : r));
    if (shown.room === room) judged(verdict, from);
  } catch (e) {
    rulesFailed(e);
    showVerdict();
  }
  judging = false;
  if (again) {
    again = false;
    judge();
  }
}

// rulesFailed leaves no verdict: what is entered from now on is not in it.
function rulesFailed(e) {
  rules.failed = String(e.message || e);
  rules.verdict = null;
}

// firstVerdict shows what the page carries of a room in which nothing is filled in,
// until the rules can be asked.
function firstVerdict(room) {
  if (!rules.verdict && Object.keys(filledIn(room)).length === 0) judged(JSON.parse(room.first), performance.now());
}

function judged(verdict, from) {
  rules.verdict = verdict;
  rules.of = grouped(verdict.results);
  showVerdict();
  rules.took = performance.now() - from;
  document.body.dataset.judged = String(Number(document.body.dataset.judged || 0) + 1);
  document.body.dataset.took = rules.took.toFixed(1);
}

function grouped(results) {
  const by = new Map();
  for (const r of results) by.has(r.of) ? by.get(r.of).push(r) : by.set(r.of, [r]);
  return by;
}

// filledIn is what stands in the boxes of the visit and of one room.
function filledIn(room) {
  const now = {};
  const own = (name) => !name.startsWith("rooms/") || name.startsWith(room.prefix);
  for (const [name, value] of Object.entries(withUsual((ask) => !ask.group.room || ask.group.room === room))) {
    if (value !== "" && own(name)) now[name] = value;
  }
  return now;
}

// question is what stands there otherwise than last time.
function question(room) {
  const now = filledIn(room), entries = {}, stands = [];
  for (const [name, value] of Object.entries(now)) if (rules.told[name] !== value) entries[name] = value === true ? { on: true } : { text: value };
  for (const name of Object.keys(rules.told)) if (now[name] === undefined) entries[name] = {};
  rules.told = now;
  for (const box of Object.keys(answers.stands)) if (answers.stands[box] === standing(box)) stands.push(box);
  return { entries, stands, today: today() };
}
