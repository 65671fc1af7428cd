// The elevation as a drawing in the middle: units, and under them joints, are
// places to touch.

const leastTarget = 66; // of a place, in pixels where letters are as usual, so that "observed" stands in it
const leastUnit = 84; // as wide as the narrowest cabinet is drawn, where that leaves the others small
const usualUnit = 110; // as wide as units are drawn on the whole where there is room
const longNote = 40; // letters; what is longer stands under the drawing, where it is not scrolled away
const longTag = 7;
const jointWide = 76, jointHigh = 76;

// drawing shows the elevation of a page with its places, as wide as the column
// or as the narrowest cabinet needs.
function drawing(page) {
  const frame = el("div", { class: "drawing" });
  const whole = page.groups.find((g) => g.kind === "elevation");
  if (whole) frame.append(placeButton(whole, "whole", {}));
  if (!page.drawing) {
    for (const g of page.groups) if (g !== whole) frame.append(placeButton(g, "alone", {}));
    return frame;
  }
  const scroll = el("div", { class: "scroll", tabindex: "0", role: "group", "aria-label": "drawing of " + page.title });
  const d = page.drawing, units = d.places;
  const picture = new DOMParser().parseFromString(d.svg, "image/svg+xml").documentElement;
  const notes = [];
  for (const e of picture.querySelectorAll("text")) {
    const said = e.textContent.trim();
    if (said.length > longNote) notes.push(said);
    if (said.length > longNote || units.some((u) => u.of === said)) e.remove(); // its place says it
  }
  const joints = page.groups.filter((g) => g.kind === "joint");
  const body = el("div", { class: "body" }, document.importNode(picture, true));
  scroll.append(body);
  frame.append(scroll, ...notes.map((t) => el("p", {}, el("small", {}, t))));
  let begun = false;
  const lay = () => {
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16; // of who wants large letters
    const column = Math.max(280, scroll.clientWidth || frame.clientWidth || 320);
    const widths = units.map((u) => u.right - u.left), mean = widths.reduce((a, w) => a + w, 0) / widths.length;
    const narrow = Math.min(...units.filter((u) => !u.filler).map((u) => u.right - u.left), Infinity);
    const wide = Math.max(column, d.width * rem * Math.min(leastUnit / narrow, usualUnit / mean), (units.length + 1) * leastTarget * rem, (joints.length + 1) * (jointWide * rem + 6));
    const k = wide / d.width;
    body.style.width = wide + "px";
    body.querySelectorAll(".place, .lead").forEach((e) => e.remove());
    const edges = apart([units[0].left * k, ...units.map((u) => u.right * k)], leastTarget * rem, wide);
    units.forEach((u, i) => {
      const g = page.groups.find((g) => g.kind === "unit" && g.of === u.of);
      if (g) body.append(placeButton(g, "unit", { left: edges[i], width: edges[i + 1] - edges[i], top: u.top * k, height: Math.max(leastTarget * rem, (u.bottom - u.top) * k) }));
    });
    const under = (d.height - d.foot) * k + 10; // below what is written under the units
    const lead = svg("svg", { class: "lead", width: wide, height: under, "aria-hidden": "true" });
    lead.style.top = d.foot * k + "px";
    const at = joints.map((g) => (units.find((u) => u.of === g.first) || units[0]).right * k);
    const middle = spread(at, jointWide * rem + 4, wide);
    joints.forEach((g, i) => {
      lead.append(svg("path", { d: `M${at[i]} 0 L${at[i]} ${under - 12} L${middle[i]} ${under}` }));
      body.append(placeButton(g, "joint", { left: middle[i] - (jointWide * rem) / 2, width: jointWide * rem, top: d.foot * k + under, height: jointHigh * rem }));
    });
    if (joints.length) body.append(lead);
    body.style.height = d.height * k + (joints.length ? 16 + jointHigh * rem : 0) + "px";
    if (!begun) scroll.scrollLeft = Math.max(0, edges[0] - 24); // what is left of it is margin
    begun = true;
    if (shown.group?.page === page) showHere(); // it may have been chosen before, and the screen turned
    showStates();
  };
  new ResizeObserver(lay).observe(scroll);
  return frame;
}

// apart moves edges so that no two are nearer than least, within a width.
function apart(edges, least, wide) {
  const e = edges.slice();
  e[0] = Math.max(0, Math.min(e[0], e[1] - least)); // a filler's place goes over the wall
  for (let i = 1; i < e.length; i++) e[i] = Math.max(e[i], e[i - 1] + least);
  e[e.length - 1] = Math.min(e[e.length - 1], wide);
  for (let i = e.length - 2; i >= 0; i--) e[i] = Math.min(e[i], e[i + 1] - least);
  if (e[0] < 0) for (let i = 0; i < e.length; i++) e[i] = Math.max(e[i], i * least);
  return e;
}

// spread moves middles so that no two are nearer than least.
function spread(at, least, wide) {
  const m = at.slice();
  for (let i = 0; i < m.length; i++) m[i] = Math.max(m[i], i ? m[i - 1] + least : least / 2);
  for (let i = m.length - 1; i >= 0; i--) m[i] = Math.min(m[i], i < m.length - 1 ? m[i + 1] - least : wide - least / 2);
  return m;
}

function placeButton(group, how, box) {
  const name = how === "joint" ? shortJoint(group) : group.title;
  const button = el("button", { type: "button", class: "place " + how, "data-to": group.of, title: name !== group.title && group.title, click: () => go(group) },
    el("span", { class: "state" }), name === group.title ? el("b", {}, name) : [el("span", { class: "aloud" }, group.title), el("b", { "aria-hidden": "true" }, name)], el("span", { class: "said" }));
  for (const [name, value] of Object.entries(box)) button.style[name] = value + "px";
  return button;
}

// shortJoint names a joint in little room: of long tags only how they end.
function shortJoint(group) {
  const short = (tag) => (tag.length > longTag ? "…" + tag.slice(2 - longTag) : tag);
  const units = group.page.drawing.places.map((u) => u.of), i = units.indexOf(group.first);
  if (i < 0 || i + 1 >= units.length || group.title.length < longTag) return group.title;
  return short(units[i]) + "+ " + short(units[i + 1]); // in two lines
}
