// The pad: numbers without a keyboard. Inches are whole numbers and a place on a
// drawn inch, in 64ths; millimetres are digits. The first key replaces what is
// there.

let active = null; // { ask, blank, box, fresh }

function focused(ask, blank, box) {
  active = { ask, blank, box, fresh: true };
  if (box.type !== "date") box.select();
  touched(ask);
  if (reading || (blank.kind !== "length" && blank.kind !== "count")) return closePad();
  const pad = document.getElementById("pad");
  pad.replaceChildren(...(blank.kind === "length" && sheet.unit === "in" ? [inch()] : []), keys(blank));
  pad.hidden = false;
  document.body.classList.add("padded");
  showInch();
  requestAnimationFrame(() => box.scrollIntoView({ block: "nearest", inline: "nearest" }));
}

function closePad() {
  document.getElementById("pad").hidden = true;
  document.body.classList.remove("padded");
}

// typed puts a text into the box that is filled in.
function typed(text) {
  active.fresh = false;
  active.box.value = text;
  entered(active.ask, active.blank, text.trim());
  showInch();
}

// parted takes inches apart: sign, whole number, 64ths; null where it is written
// in another way.
function parted(text) {
  const t = text.trim().replace(/^(-?)\s*(\d+)\/(\d+)$/, "$10 $2/$3");
  const m = /^(-?)\s*(\d*)(?:\s+(\d+)\/(\d+))?$/.exec(t);
  if (!m) return null;
  const [, sign, digits, over, under] = m;
  if (under && 64 % Number(under)) return null;
  return { sign, digits: digits === "0" && over ? "" : digits, parts: over ? Number(over) * (64 / Number(under)) : 0 };
}

function joined({ sign, digits, parts }) {
  let over = parts, under = 64;
  while (over && over % 2 === 0) (over /= 2), (under /= 2);
  const fraction = parts ? over + "/" + under : "";
  const text = [digits, fraction].filter(Boolean).join(" ");
  return text === "" ? (sign ? "-" : "") : sign + text;
}

const nothing = { sign: "", digits: "", parts: 0 };

function key(k) {
  const text = active.box.value, inches = sheet.unit === "in" && active.blank.kind === "length";
  if (k === "next") return nextBox(active.box);
  if (k === "done") return active.box.blur(), closePad();
  if (k === "clear") return typed("");
  if (k === "back") {
    const p = inches && parted(text);
    if (!p) return typed(text.slice(0, -1));
    return typed(joined(p.parts ? { ...p, parts: 0 } : p.digits ? { ...p, digits: p.digits.slice(0, -1) } : nothing));
  }
  if (k === "minus") return typed(text.startsWith("-") ? text.slice(1).trim() : "-" + text);
  if (!inches) return typed((active.fresh ? "" : text) + k);
  const p = active.fresh ? nothing : parted(text);
  typed(p ? joined({ ...p, digits: (p.digits + k).replace(/^0+(?=\d)/, "") }) : text + k);
}

// sixtyFourths sets the part of an inch, and leaves the whole number.
function sixtyFourths(n) {
  const p = parted(active.box.value) || nothing;
  if (n > 63) return;
  typed(joined({ ...p, parts: Math.max(0, n) }));
}

function keys(blank) {
  const button = (label, k, words, more) => el("button", { type: "button", class: "key " + (more || ""), "data-key": k, "aria-label": words || false, pointerdown: (e) => e.preventDefault(), click: () => key(k) }, label);
  const last = blank.kind === "count" ? "" : sheet.unit === "in" ? "" : button(".", ".", "decimal point");
  return el("div", { class: "keys", role: "group", "aria-label": "digits" },
    [7, 8, 9].map((d) => button(d, String(d))), button("⌫", "back", "take the last away"),
    [4, 5, 6].map((d) => button(d, String(d))), button("clear", "clear", "", "word"),
    [1, 2, 3].map((d) => button(d, String(d))), blank.kind === "count" ? el("span") : button("−", "minus", "minus"),
    last || el("span"), button(0, "0"), button("done", "done", "", "word"), button("next", "next", "", "word next"));
}

// inch draws an inch in 64ths, to be tapped, with two keys for one more or less.
function inch() {
  const ruler = svg("svg", { viewBox: "0 0 640 62", preserveAspectRatio: "none", class: "inch", role: "slider", tabindex: "0", "aria-label": "part of an inch, in 64ths", "aria-valuemin": "0", "aria-valuemax": "63" });
  ruler.append(svg("rect", { x: 0, y: 0, width: 640, height: 62, class: "wood" }));
  for (let n = 0; n <= 64; n++) {
    const level = [64, 32, 16, 8, 4, 2, 1].findIndex((d) => n % d === 0);
    ruler.append(svg("line", { x1: n * 10, x2: n * 10, y1: 0, y2: [62, 44, 36, 28, 21, 14, 9][level], class: level < 4 ? "long" : "" }));
  }
  ruler.append(svg("line", { id: "at", x1: 0, x2: 0, y1: 0, y2: 62, class: "at" }));
  const place = (e) => {
    const r = ruler.getBoundingClientRect();
    return Math.min(63, Math.max(0, Math.round(((e.clientX - r.left) / r.width) * 64)));
  };
  ruler.addEventListener("pointerdown", (e) => (e.preventDefault(), ruler.setPointerCapture(e.pointerId), sixtyFourths(place(e))));
  ruler.addEventListener("pointermove", (e) => e.buttons && sixtyFourths(place(e)));
  ruler.addEventListener("keydown", (e) => {
    const step = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[e.key];
    if (step) e.preventDefault(), nudge(step);
  });
  const small = (label, words, step) => el("button", { type: "button", class: "key", "aria-label": words, pointerdown: (e) => e.preventDefault(), click: () => nudge(step) }, label);
  return el("div", { class: "ruler" }, small("◂", "one 64th less", -1), el("div", { class: "wide" }, ruler, el("p", { class: "marks", "aria-hidden": "true" }, ["0", "1/4", "1/2", "3/4", "1"].map((t) => el("span", {}, t)))), small("▸", "one 64th more", 1));
}

const nudge = (step) => sixtyFourths((parted(active.box.value) || nothing).parts + step);

function showInch() {
  const at = document.getElementById("at");
  if (!at || !active) return;
  const p = parted(active.box.value) || nothing;
  at.setAttribute("x1", p.parts * 10);
  at.setAttribute("x2", p.parts * 10);
  const ruler = at.parentNode;
  ruler.setAttribute("aria-valuenow", p.parts);
  ruler.setAttribute("aria-valuetext", p.parts + " of 64");
}
