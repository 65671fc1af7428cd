// What is known of a place: in a word, a shape and a colour.

const states = {
  fails: { word: "does not hold", short: "does not", shape: "M3 3 L13 13 M13 3 L3 13", frame: "square" },
  doubt: { word: "doubtful", short: "doubtful", shape: "M6 6 a2.2 2.2 0 1 1 2.2 2.6 v1.4 M8.2 12 v.6", frame: "diamond" },
  open: { word: "not observed", short: "not observed", shape: "", frame: "dashed" },
  holds: { word: "holds", short: "holds", shape: "M4 8.5 L7 11.5 L12.5 5", frame: "round" },
  noted: { word: "entered, not judged yet", short: "entered", shape: "M4 8 h8", frame: "round" },
};
const worst = ["fails", "doubt", "open", "noted", "holds"];

// sign draws a state.
function sign(state) {
  const { frame, shape } = states[state];
  const e = svg("svg", { viewBox: "0 0 16 16", class: "sign " + state, "aria-hidden": "true" });
  if (frame === "square") e.append(svg("rect", { x: 0.75, y: 0.75, width: 14.5, height: 14.5 }));
  else if (frame === "diamond") e.append(svg("path", { d: "M8 .4 L15.6 8 L8 15.6 L.4 8 Z" }));
  else e.append(svg("circle", { cx: 8, cy: 8, r: 7.2, "stroke-dasharray": frame === "dashed" ? "2.2 2" : "none" }));
  if (shape) e.append(svg("path", { d: shape, class: "in" }));
  return e;
}

const answeredBlank = (b) => b.choices.some((c) => answers.entries[c.name]) || (!!answers.entries[b.name] && answers.entries[b.name] !== "");

// answered reports whether anything was filled in for an ask, beside what
// usually stands there.
const answered = (ask) => ask.blanks.some(answeredBlank);

const isIn = (box, place) => box.startsWith(place) && (box.length === place.length || box[place.length] === "/" || box[place.length] === "=");

// resultsOf lists what the rules that need an ask say of what it is of.
function resultsOf(ask) {
  if (!rules.verdict) return [];
  if (ask.covers) return rules.verdict.results.filter((r) => ask.rules.includes(r.id) && r.elevation === ask.group.page.name);
  return (rules.of.get(ask.group.of) || []).filter((r) => ask.rules.includes(r.id));
}

// meant reports whether a result that is not well is about an ask: it says so, or
// says nothing of another.
const meant = (r, ask) => !r.at || isIn(r.at, ask.name) || isIn(ask.name, r.at) || !ask.group.asks.some((other) => isIn(r.at, other.name));

// unjudged reports whether something was entered for an ask of which the rules have
// not said anything yet.
const unjudged = (ask) => !rules.failed && !!ask.group.room && (someIn(rules.unjudged, ask) || someIn(rules.asked, ask));

function someIn(boxes, ask) {
  for (const box of boxes) if (isIn(box, ask.name)) return true;
  return false;
}

let drawn = null; // states of asks found so far, while places are drawn

function stateOf(ask) {
  if (!drawn) return found(ask);
  if (!drawn.has(ask)) drawn.set(ask, found(ask));
  return drawn.get(ask);
}

function found(ask) {
  const filled = answered(ask);
  if (filled && unjudged(ask)) return "noted";
  if (!filled && !(ask.seen && rules.verdict)) return ask.optional ? "" : "open";
  const results = resultsOf(ask);
  const bad = (outcome) => results.some((r) => r.outcome === outcome && meant(r, ask));
  if (!filled) return bad("fail") ? "fails" : bad("undecided") ? "doubt" : bad("not observed") ? "open" : "holds";
  const v = rules.verdict;
  if (v && [...(v.refused || []), ...(v.doubted || [])].some((b) => isIn(b.box, ask.name) || isIn(ask.name, b.box))) return "doubt";
  if (bad("fail")) return "fails";
  if (bad("undecided")) return "doubt";
  // It holds where every rule that looks at it is content; one may still wait for
  // what is read beside it.
  return results.length && results.every((r) => r.outcome !== "not observed") ? "holds" : "noted";
}

// stateOfAll is the worst state of several asks, "" where nothing is to be said.
function stateOfAll(asks) {
  const all = new Set(asks.filter((a) => a.rules.length).map(stateOf));
  return worst.find((s) => all.has(s)) || "";
}
