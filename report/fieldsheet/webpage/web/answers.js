// What was answered: boxes by their names, boxes that stand as read, photographs.

const form = 1; // of the block of answers

const answers = {
  entries: {}, // text, or true for a tick
  stands: {}, // by box, the value that stands as read
  photos: [], // { id, room, of, caption, by, type, data }, data in base64
};

let text = null; // that of the block, until an answer changes

// written is the block of answers as it travels with the sheet. Names are in
// order, so that the same answers are the same bytes.
function written() {
  return (text ??= composed());
}

function composed() {
  const entries = {};
  const all = withUsual();
  for (const name of Object.keys(all).sort()) if (all[name] !== "" || sheet.usual.has(name)) entries[name] = all[name];
  const stands = Object.keys(answers.stands).filter((box) => answers.stands[box] === standing(box)).sort();
  const photos = answers.photos.map(({ id, room, of, caption, by, type }) => ({ id, room, of, caption, by, type }));
  return JSON.stringify({ setline_answers: form, entries, stands, photos }).replace(/</g, "\\u003c");
}

// standing is what a box that stands as read holds; a line of the floor or a
// reading with its distance is doubted as a whole.
function standing(box) {
  return JSON.stringify(Object.keys(answers.entries).sort().filter((name) => name === box || name.startsWith(box + "/") || name.startsWith(box + "=")).map((name) => answers.entries[name]));
}

// withUsual gives the answers with what stands in boxes before anybody fills them
// in, where what it belongs to was answered; of the asks that are wanted.
function withUsual(wanted = () => true) {
  const all = { ...answers.entries };
  for (const ask of sheet.asks) {
    if (!ask.usual || !wanted(ask)) continue;
    for (const [name, value] of usualOf(ask)) if (all[name] === undefined) all[name] = value;
  }
  return all;
}

// usualOf lists the boxes of an ask that somebody gave a meaning to by answering
// beside them, with what usually stands there.
function usualOf(ask) {
  const answered = (b) => answers.entries[b.name] !== undefined && answers.entries[b.name] !== "";
  if (!ask.line) return ask.blanks.some((b) => !b.usual && (answered(b) || b.choices.some((c) => answers.entries[c.name]))) ? ask.blanks.filter((b) => b.usual).map((b) => [b.name, b.usual]) : [];
  const read = (b) => !!answers.entries[b.name.slice(0, -1) + "1"]; // how far down, at that place
  return ask.blanks.filter((b) => b.usual && b.name.endsWith("/0") && read(b)).map((b) => [b.name, b.usual]);
}

// answersIn reads a block of answers; null where it is none. What is of another
// shape is left out.
function answersIn(block) {
  let read;
  try {
    read = JSON.parse(block);
  } catch {
    return null;
  }
  if (!read || read.setline_answers !== form) return null;
  const list = (x) => (Array.isArray(x) ? x : []);
  return {
    entries: Object.fromEntries(Object.entries(read.entries || {}).filter(([, value]) => value === true || typeof value === "string")),
    photos: list(read.photos).filter((p) => p && /^[0-9a-f]{64}$/.test(p.id)).map((p) => ({ id: p.id, room: String(p.room), of: String(p.of || ""), caption: String(p.caption || ""), by: String(p.by || ""), type: "image/jpeg" })),
    stands: list(read.stands).map(String),
  };
}

// taken takes over a block of answers.
function taken(block) {
  text = null;
  const read = answersIn(block);
  if (!read) return;
  Object.assign(answers.entries, read.entries);
  answers.photos.push(...read.photos);
  for (const box of read.stands) answers.stands[box] = standing(box);
}

// count is how many boxes are filled in.
const count = () => Object.values(answers.entries).filter((v) => v !== "").length + answers.photos.length;

// set takes an answer, and tells those who keep and judge it.
function set(name, value) {
  if (value === "" && answers.entries[name] === undefined) return;
  answers.entries[name] = value;
  if (value === false) delete answers.entries[name];
  changed(name);
}
