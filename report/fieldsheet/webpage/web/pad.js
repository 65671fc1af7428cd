// The pad: numbers without a keyboard. Inches are whole numbers and a place on a
// drawn inch, its eighth first; millimetres are digits. The first key replaces what is
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
}

// reveal brings a box between header and pad, and what it is asked for with it, where
// both have room.
function reveal(box) {
  for (const e of [box.closest(".ask"), box]) e.scrollIntoView({ block: "nearest", inline: "nearest" });
}

// What is touched lies still: only who types on, or goes by keys, is led.
addEventListener("focusin", ({ target }) => {
  if (target.matches("#place .ask *:focus-visible")) requestAnimationFrame(() => reveal(target));
});

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

// byKeyboard takes what was typed, or pasted, beside the pad, which goes on from there.
function byKeyboard(box) {
  if (active?.box !== box) return;
  active.fresh = false;
  showInch();
}

// plainly writes inches as the pad does: without their sign, fractions as two numbers.
function plainly(text) {
  const t = text.trim().replace(/\s*(?:in|["”″])$/i, "").replace(/(\d)\s*(?=\p{No})/gu, "$1 ");
  return t.normalize("NFKC").replace("⁄", "/").replace(/^−/, "-").replace(/(\d)-(?=\d)/, "$1 ");
}

// parted takes inches apart: sign, whole number, 64ths; null where it is written
// in another way.
function parted(text) {
  const t = plainly(text).replace(/^(-?)\s*(\d+)\/(\d+)$/, "$10 $2/$3");
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

// sixtyFourths sets the part of an inch, and leaves the whole number; and what it
// cannot take apart, such as feet, as a whole.
function sixtyFourths(n) {
  const p = parted(active.box.value);
  if (!p) return;
  const digits = n ? p.digits.replace(/^0$/, "") : p.digits || "0";
  typed(joined({ ...p, digits, parts: n }));
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

const level = (n) => [32, 16, 8, 4, 2, 1].findIndex((d) => n % d === 0);
const tall = [40, 32, 26, 20, 14, 9]; // marks of a rule, from halves to 64ths

// marks draws those of a rule from one 64th on, across a key.
function marks(from, many) {
  const e = svg("svg", { viewBox: `0 0 ${many * 10} 40`, preserveAspectRatio: "none", "aria-hidden": "true" });
  for (let i = 0; i < many; i++) e.append(svg("line", { x1: i * 10 + (many === 1 ? 5 : 0.5), x2: i * 10 + (many === 1 ? 5 : 0.5), y1: 0, y2: tall[level(from + i)] }));
  return e;
}

// inch draws an inch to be tapped: which eighth, and below, magnified, which 64th of
// it. Each is a key as wide as a thumb.
function inch() {
  const part = (n, many) => el("button", { type: "button", class: "part", "data-part": n, pointerdown: (e) => e.preventDefault(), click: (e) => sixtyFourths(Number(e.currentTarget.dataset.part)) }, marks(n, many), el("span", {}));
  const strip = (kind, words, keys) => el("div", { class: "strip " + kind, role: "group", "aria-label": words }, keys);
  const eight = [0, 1, 2, 3, 4, 5, 6, 7];
  return el("div", { class: "inch" }, strip("eighths", "eighths of an inch", eight.map((k) => part(8 * k, 8))), strip("fine", "64ths within this eighth", eight.map((i) => part(i, 1))));
}

// showInch shows the 64ths of the eighth in which the value is.
function showInch() {
  if (!active || !document.querySelector(".inch")) return;
  const p = parted(active.box.value), at = p && active.box.value.trim() ? p.parts : null;
  const from = Math.floor((at || 0) / 8) * 8;
  document.querySelectorAll(".eighths .part").forEach((e, k) => showPart(e, 8 * k, at !== null && from === 8 * k));
  document.querySelectorAll(".fine .part").forEach((e, i) => {
    if (e.dataset.part !== String(from + i)) e.firstChild.replaceWith(marks(from + i, 1));
    showPart(e, from + i, at === from + i);
  });
}

function showPart(e, n, on) {
  e.dataset.part = n;
  e.setAttribute("aria-pressed", String(on));
  write(e.lastChild, joined({ ...nothing, parts: n }) || "0");
}
