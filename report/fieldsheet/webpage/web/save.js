// The copy that is sent back: this page with the answers and pictures inside.

const saved = { text: "", at: null, name: "" }; // what the last saved copy held

const photoData = (id) => block("photo-" + id)?.textContent;

// live puts the answers into the document's own blocks, so that the browser's own
// "save as" carries them too.
function live() {
  const own = block("answers");
  own.textContent = written();
  const wanted = new Map(answers.photos.map((p) => [p.id, p])), ids = [...wanted.keys()].sort();
  if (String(ids) === livePhotos) return; // a name is the hash of its picture, of which there is much
  livePhotos = String(ids);
  for (const e of document.querySelectorAll("script[id^=setline-photo-]")) e.remove();
  for (const id of ids.reverse()) {
    const e = el("script", { type: "text/plain", id: "setline-photo-" + id, "data-setline": true });
    e.textContent = wanted.get(id).data;
    own.after(e);
  }
}

let livePhotos = null; // those that are in blocks, by their names

// copy is the whole page as it is saved: the parts that it was made of and nothing
// that was drawn since, so that a copy of a copy is the same.
function copy() {
  live();
  const parts = (from) => [...from.children].filter((e) => e.hasAttribute("data-setline"));
  const bare = (e) => (e.id === "setline-app" ? e.cloneNode(false).outerHTML : e.outerHTML);
  return "<!DOCTYPE html>\n" + `<html lang="en"><head>` + parts(document.head).map(bare).join("\n") + "</head><body>" + parts(document.body).map(bare).join("\n") + "</body></html>";
}

function save() {
  const text = copy();
  const name = decodeURIComponent(location.pathname.split("/").pop() || "").replace(/(-filled)?\.html?$/i, "") || "sheet";
  saved.name = (name === "index" ? "sheet" : name) + "-filled.html";
  const link = el("a", { href: URL.createObjectURL(new Blob([text], { type: "text/html" })), download: saved.name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  saved.text = written();
  saved.at = new Date();
  keep();
  showKept();
}

const unsaved = () => count() > 0 && saved.text !== written();

// savedOnce reports whether some answers are in a saved copy, which is read once.
const savedOnce = () => (saved.some?.of === saved.text ? saved.some : (saved.some = { of: saved.text, are: Object.keys(answersIn(saved.text)?.entries || {}).length > 0 })).are;
