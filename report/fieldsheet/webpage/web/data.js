// What the page carries in blocks of its own, and small helpers.

const block = (id) => document.getElementById("setline-" + id);

// unpacked gives the bytes of a block that was packed by gzip, in base64.
async function unpacked(id) {
  return new Uint8Array(await new Response(setlineUnpacked(block(id).textContent)).arrayBuffer());
}

// isBase64 reports whether what was kept for a picture can be one: whatever else
// stood in a block would end it, and begin another.
const isBase64 = (data) => typeof data === "string" && /^[A-Za-z0-9+/]+={0,2}$/.test(data);

function toBase64(bytes) {
  let raw = "";
  for (let i = 0; i < bytes.length; i += 0x8000) raw += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(raw);
}

// mark is a short name for a text, the same for the same text (FNV-1a, 64 bits).
function mark(text) {
  let h = 0xcbf29ce484222325n;
  for (const b of new TextEncoder().encode(text)) h = BigInt.asUintN(64, (h ^ BigInt(b)) * 0x100000001b3n);
  return h.toString(16).padStart(16, "0");
}

// unseen are characters that cannot be seen, or that change how others are read, as
// everywhere in reports and on sheets.
const unseen = /[\p{Cc}\p{Cf}\p{Co}\p{Cs}\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2065\u2800\u3164\ufe00-\ufe0f\uffa0\u{e0000}-\u{e0fff}]/gu;

// visible is text that people typed so that all of it can be seen: what cannot is
// shown by its code point.
function visible(text) {
  return text.replace(/[\t-\r\u0085\u2028\u2029]+/g, " ").replace(unseen, (c) => "‹U+" + c.codePointAt(0).toString(16).toUpperCase().padStart(4, "0") + "›");
}

// el makes an element: attributes by name, functions as listeners, then what is
// in it. What is shown or read out is visible; a value stays what it is.
function el(name, attributes, ...inside) {
  const e = document.createElement(name);
  for (const [key, value] of Object.entries(attributes || {})) {
    if (typeof value === "function") e.addEventListener(key, value);
    else if (value === true) e.setAttribute(key, "");
    else if (value !== false && value != null) e.setAttribute(key, key === "aria-label" ? visible(String(value)) : value);
  }
  e.append(...inside.flat(9).filter((x) => x != null && x !== false && x !== "").map((x) => (typeof x === "string" ? visible(x) : x)));
  return e;
}

const svgName = "http://www.w3.org/2000/svg";

function svg(name, attributes, ...inside) {
  const e = document.createElementNS(svgName, name);
  for (const [key, value] of Object.entries(attributes || {})) e.setAttribute(key, value);
  e.append(...inside);
  return e;
}

// clock is the time of day as people read it anywhere: 14:05.
function clock(at) {
  const two = (n) => String(n).padStart(2, "0");
  return two(at.getHours()) + ":" + two(at.getMinutes());
}

function today() {
  const d = new Date(), two = (n) => String(n).padStart(2, "0");
  return d.getFullYear() + "-" + two(d.getMonth() + 1) + "-" + two(d.getDate());
}
