// The elevation as a drawing in the middle: units, and under them joints, are
// places to touch.

const leastTarget = 58; // of a place, in pixels

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
  const joints = page.groups.filter((g) => g.kind === "joint");
  const body = el("div", { class: "body" }, document.importNode(picture, true));
  scroll.append(body);
  frame.append(scroll);
  const lay = () => {
    const column = Math.max(280, scroll.clientWidth || frame.clientWidth || 320);
    const narrow = Math.min(...units.filter((u) => !u.filler).map((u) => u.right - u.left), Infinity);
    const wide = Math.max(column, Math.min(d.width * (76 / narrow), 40 * column), units.length * leastTarget, (joints.length + 1) * 68);
    const k = wide / d.width;
    body.style.width = wide + "px";
    body.querySelectorAll(".place, .lead").forEach((e) => e.remove());
    const edges = apart([units[0].left * k, ...units.map((u) => u.right * k)], leastTarget, wide);
    units.forEach((u, i) => {
      const g = page.groups.find((g) => g.kind === "unit" && g.of === u.of);
      if (g) body.append(placeButton(g, "unit", { left: edges[i], width: edges[i + 1] - edges[i], top: u.top * k, height: Math.max(leastTarget, (u.bottom - u.top) * k) }));
    });
    const under = (d.height - d.foot) * k + 10; // below what is written under the units
    const lead = svg("svg", { class: "lead", width: wide, height: under, "aria-hidden": "true" });
    lead.style.top = d.foot * k + "px";
    const at = joints.map((g) => (units.find((u) => u.of === g.first) || units[0]).right * k);
    const middle = spread(at, 66, wide);
    joints.forEach((g, i) => {
      lead.append(svg("path", { d: `M${at[i]} 0 L${at[i]} ${under - 12} L${middle[i]} ${under}` }));
      body.append(placeButton(g, "joint", { left: middle[i] - 31, width: 62, top: d.foot * k + under, height: leastTarget }));
    });
    if (joints.length) body.append(lead);
    body.style.height = d.height * k + (joints.length ? 16 + leastTarget : 0) + "px";
    showStates();
  };
  new ResizeObserver(lay).observe(scroll);
  return frame;
}

// apart moves edges so that no two are nearer than least, within a width.
function apart(edges, least, wide) {
  const e = edges.slice();
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
  const button = el("button", { type: "button", class: "place " + how, "data-to": group.of, click: () => go(group) },
    el("span", { class: "state" }), el("b", {}, group.title), el("span", { class: "said" }));
  for (const [name, value] of Object.entries(box)) button.style[name] = value + "px";
  return button;
}
