// Printed, the page is the sheet on paper: the same questions with boxes, and what
// was answered in them. Corners lie as in plan, fronts stand in rows, and whatever
// is short stands two beside each other.

function paper() {
  const all = [sheet.visitPage, ...sheet.pages];
  return el("div", { id: "paper" }, el("h1", {}, sheet.title), el("p", {}, sheet.job), el("p", {}, el("b", {}, sheet.asked)), sheet.advice.map((t) => el("p", {}, t)), cautions(),
    all.map((page) => el("div", { class: "sheetpage" }, el("h2", {}, page.title), picture(page), page.groups.map(groupOnPaper))), el("p", {}, el("small", {}, sheet.made)));
}

const picture = (page) => page.drawing && el("div", { class: "picture" }, document.importNode(new DOMParser().parseFromString(page.drawing.svg, "image/svg+xml").documentElement, true));

function groupOnPaper(g) {
  const { inPlan, fronts, rest } = parts(g);
  const where = g.room && el("small", { class: "where" }, g.page.title);
  return el("section", { class: rest.some((a) => a.line) ? "long" : "" }, g.title !== g.page.title && el("h3", {}, el("span", {}, g.title), g.about && el("small", {}, g.about), where),
    (g.again || []).map((t) => el("p", {}, el("b", {}, t))),
    inPlan.length > 0 && el("div", { class: "plan" }, el("p", { class: "edge" }, "back, at the wall"),
      corners.map(([key, words]) => el("div", { class: "corner" }, el("p", { class: "key" }, el("b", {}, key), " " + words), inPlan.filter((a) => a.key === key).map(askOnPaper))), el("p", { class: "edge" }, "FRONT")),
    rows(fronts).map(([name, own]) => el("div", { class: "frontrow" }, el("p", { class: "key" }, name), own.map(askOnPaper))),
    el("div", { class: "asks" }, rest.map(askOnPaper)), photosOnPaper(g));
}

const askOnPaper = (a) => el("div", { class: "ask" + (wideOnPaper(a) ? " whole" : "") + (a.covers ? " all" : "") }, el("span", { class: "name" }, a.words, a.limit && el("small", {}, " (" + a.limit + ")")),
  el("span", { class: "boxes" }, a.line ? pairs(a.blanks, a.blanks.map(onPaper)) : a.blanks.map(onPaper)));

const wideOnPaper = (a) => a.covers || a.line || a.remark || a.blanks.length > 2 || (a.blanks.length > 1 && a.limit) || a.blanks.some((b) => b.choices.length > 4);

function onPaper(b) {
  const words = b.words && !/, (at|down)$/.test(b.words) && el("small", {}, b.words + " ");
  if (b.choices.length && b.choices[0].name) return el("span", { class: "line" }, words, b.choices.map((c) => el("span", { class: "pick" }, el("span", { class: "mark" }, answers.entries[c.name] ? "×" : "\u00a0"), " " + c.words)));
  const value = answers.entries[b.name] ?? b.usual ?? "";
  return el("span", { class: "line" + (b.kind === "words" ? " long" : "") }, words, el("span", { class: "blank" }, chosen(b, value) || "\u00a0"), b.kind === "length" && " " + sheet.unit);
}

const chosen = (b, value) => b.choices.find((c) => c.value === value)?.words || value;

const photosOnPaper = (g) => el("div", { class: "pictures" }, photosOf(g).map((p) => el("figure", {}, el("img", { src: "data:image/jpeg;base64," + p.data, alt: "" }), el("figcaption", {}, "Photograph", p.caption && ": " + p.caption))));

addEventListener("beforeprint", () => {
  document.getElementById("paper")?.remove();
  if (sheet) block("app").append(paper());
});
addEventListener("afterprint", () => document.getElementById("paper")?.remove());
