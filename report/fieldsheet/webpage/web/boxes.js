// The boxes of an ask, as the sheet on paper has them.

const inputs = new Map(); // of text boxes that are shown, by name

// blankBoxes makes the boxes of one blank.
function blankBoxes(ask, b) {
  const label = [ask.group.title, ask.words, b.words !== ask.words && b.words].filter(Boolean).join(", ");
  if (b.choices.length && b.choices[0].name) {
    return el("span", { class: "ticks", role: "group", "aria-label": label }, ask.blanks.length > 1 && b.words && el("span", { class: "of" }, b.words), b.choices.map((c) => tickBox(ask, b, c)));
  }
  if (b.choices.length) {
    const pick = el("select", { id: b.name, "aria-label": label, change: () => entered(ask, b, pick.value) }, el("option", { value: "" }, ""), b.choices.map((c) => el("option", { value: c.value }, c.words)));
    pick.value = answers.entries[b.name] || "";
    return withWords(ask, b, pick);
  }
  const number = b.kind === "length" || b.kind === "count";
  const unit = b.kind === "length" ? sheet.unit : "";
  const box = el(b.kind === "words" && ask.remark ? "textarea" : "input", {
    id: b.name, "aria-label": label + (unit && ", in " + sheet.unitWord), "aria-describedby": "state-" + ask.name + (ask.limit ? " limit-" + ask.name : ""),
    type: b.kind === "date" ? "date" : "text", class: number ? "number" : b.kind === "words" ? "words" : "short", autocomplete: "off", spellcheck: "false",
    inputmode: number && coarse ? "none" : false, enterkeyhint: "next", rows: ask.remark ? 2 : false,
    input: () => (byKeyboard(box), entered(ask, b, box.value.trim() === "" ? "" : box.value)),
    focus: () => focused(ask, b, box), keydown: (e) => e.key === "Enter" && !ask.remark && (e.preventDefault(), nextBox(box)),
  });
  box.value = typeof answers.entries[b.name] === "string" ? answers.entries[b.name] : b.usual || "";
  box.readOnly = reading;
  inputs.set(b.name, box);
  const now = b.kind === "date" && el("button", { type: "button", class: "chip", "aria-label": "today, for " + label, click: () => ((box.value = today()), entered(ask, b, box.value)) }, "today");
  if (now) now.disabled = reading;
  return withWords(ask, b, now ? el("span", { class: "ticks" }, box, now) : box, unit);
}

const coarse = matchMedia("(pointer: coarse)").matches;

function withWords(ask, b, box, unit) {
  const words = ask.blanks.length > 1 && b.words;
  return el("span", { class: "box " + b.kind }, words && el("span", { class: "of", "aria-hidden": "true" }, b.words), box, unit && el("span", { class: "unit", "aria-hidden": "true" }, unit));
}

function tickBox(ask, b, c) {
  const button = el("button", { type: "button", class: "tick", "data-box": c.name, "aria-pressed": String(!!answers.entries[c.name]), click: () => ticked(ask, b, c) }, c.words);
  button.disabled = reading;
  return button;
}

// ticked takes a tick: of one question only one answer stays, but of those of
// which any number may be so.
function ticked(ask, b, c) {
  const on = !answers.entries[c.name];
  const alone = b.kind !== "several" || c.value === "nothing";
  for (const other of b.choices) {
    if (other !== c && on && (alone || other.value === "nothing")) set(other.name, false);
  }
  set(c.name, on);
  for (const other of b.choices) {
    for (const e of document.querySelectorAll(`[data-box="${CSS.escape(other.name)}"]`)) e.setAttribute("aria-pressed", String(!!answers.entries[other.name]));
  }
  closePad();
  touched(ask);
}

function entered(ask, b, value) {
  set(b.name, value);
  touched(ask);
}

// askBoxes makes what stands on the page of one ask.
function askBoxes(ask) {
  const title = el("p", { class: "what" }, el("span", { class: "state" + (ask.rules.length ? "" : " none"), id: "state-" + ask.name }), el("span", { class: "name" }, ask.words),
    ask.limit && el("span", { class: "limit", id: "limit-" + ask.name }, ask.limit));
  const made = ask.blanks.map((b) => blankBoxes(ask, b));
  const boxes = el("div", { class: "boxes" }, ask.line ? pairs(ask.blanks, made) : made);
  if (ask.covers) boxes.append(exceptions(ask));
  return el("div", { class: "ask" + (ask.covers ? " all" : "") + (ask.line ? " line" : ""), "data-ask": ask.name }, title, boxes);
}

// pairs sets readings of a floor line side by side: where, and how far down. Where
// the place is printed it stands in the words of the reading.
function pairs(blanks, boxes) {
  const all = [];
  blanks.forEach((b, i) => {
    if (b.name.endsWith("/0")) all.push(el("div", { class: "pair open" }, el("span", { class: "of" }, "at"), boxes[i]));
    else if (i && blanks[i - 1].name === b.name.slice(0, -1) + "0") all[all.length - 1].append(el("span", { class: "of" }, "down"), boxes[i]);
    else all.push(el("div", { class: "pair" }, boxes[i]));
  });
  return all;
}

// exceptions lets those be tapped of which it is not so, beside what can be typed.
function exceptions(ask) {
  const except = ask.blanks.find((b) => b.kind === "words");
  if (!except || !ask.names || !ask.names.length) return "";
  const named = () => (answers.entries[except.name] || "").split(/[\s,;]+/).filter(Boolean);
  const chip = (name) => {
    const button = el("button", { type: "button", class: "chip", "aria-pressed": String(named().includes(name)), click: () => {
      const all = named().includes(name) ? named().filter((n) => n !== name) : [...named(), name];
      const box = inputs.get(except.name);
      if (box) box.value = all.join(", ");
      entered(ask, except, all.join(", "));
      button.setAttribute("aria-pressed", String(all.includes(name)));
    } }, name);
    button.disabled = reading;
    return button;
  };
  return el("span", { class: "chips", role: "group", "aria-label": ask.words + ": all, except" }, ask.names.map(chip));
}

const corners = [["BL", "back-left"], ["BR", "back-right"], ["FL", "front-left"], ["FR", "front-right"]];

// parts tells what is asked of corners, of doors and drawers, and of the rest.
const parts = (group) => ({ inPlan: group.asks.filter((a) => a.stands === "corner"), fronts: group.asks.filter((a) => a.stands === "front"), rest: group.asks.filter((a) => !a.stands) });

// rows gathers what is asked of each door and drawer.
const rows = (fronts) => [...new Set(fronts.map((a) => a.short))].map((name) => [name, fronts.filter((a) => a.short === name)]);

// groupBoxes makes what stands on the page of one unit, joint or elevation: its
// corners as they lie in plan, the wall above, its doors and drawers as rows.
function groupBoxes(group) {
  const { inPlan, fronts, rest } = parts(group);
  const section = el("section", { class: "group", "data-of": group.of, tabindex: "-1", "aria-label": group.title });
  section.append(el("h3", {}, el("span", { class: "state", "data-group": "" }), group.title, group.about && el("small", {}, group.about)));
  for (const line of group.again || []) section.append(el("p", { class: "again" }, line));
  if (inPlan.length) {
    const plan = el("div", { class: "plan", role: "group", "aria-label": "corners, as they lie in plan" }, el("p", { class: "edge" }, "back, at the wall"));
    for (const [key, words] of corners) {
      const own = inPlan.filter((a) => a.key === key);
      plan.append(el("div", { class: "corner", "data-place": key, "data-asks": own.map((a) => a.name).join(" ") }, el("p", { class: "key" }, el("span", { class: "state" }), el("b", {}, key), " ", words), own.map(askBoxes)));
    }
    plan.append(el("p", { class: "edge" }, "FRONT"));
    section.append(plan);
  }
  for (const [name, own] of rows(fronts)) {
    section.append(el("div", { class: "frontrow", "data-asks": own.map((a) => a.name).join(" ") }, el("p", { class: "key" }, el("span", { class: "state" }), name), own.map(askBoxes)));
  }
  section.append(...rest.map(askBoxes));
  if (group.room && !reading) section.append(photoBoxes(group));
  return section;
}

// waits reports whether a box is one to go on to: an empty one, one for a number,
// or the first tick of a question of which none is ticked.
function waits(b) {
  if (b.classList.contains("tick")) return b === b.parentNode.querySelector(".tick") && !b.parentNode.querySelector("[aria-pressed=true]");
  return (b.value === "" && !b.closest(".all")) || b.classList.contains("number");
}

const boxesInSight = () => [...document.querySelectorAll("#place input:not([type=file]), #place textarea, #place select, #place .ticks .tick")];

// nextBox goes to what is to be answered next, or else to the next place. Where the
// value of this one is likely a slip, it is asked about first.
function nextBox(from, answeredFor) {
  const question = !answeredFor && document.querySelector("#said [data-does=mend]");
  if (question && active && from === active.box) return question.focus();
  const all = boxesInSight();
  const next = all.slice(all.indexOf(from) + 1).find(waits);
  if (!next) return toPlace(beside(1), true);
  if (next.classList.contains("tick")) closePad();
  next.focus();
}
