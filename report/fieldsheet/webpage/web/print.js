// Printed, the page is the sheet on paper: the same questions, with boxes.

function paper() {
  const sheetOnPaper = el("div", { id: "paper" }, el("h1", {}, sheet.title), el("p", {}, sheet.job), el("p", {}, el("b", {}, sheet.asked)), sheet.advice.map((t) => el("p", {}, t)), cautions());
  for (const page of [sheet.visitPage, ...sheet.pages]) {
    sheetOnPaper.append(el("h2", {}, page.title));
    if (page.drawing) sheetOnPaper.append(el("div", { class: "picture" }, document.importNode(new DOMParser().parseFromString(page.drawing.svg, "image/svg+xml").documentElement, true)));
    for (const g of page.groups) {
      const rows = g.asks.map((a) => el("tr", {}, el("td", {}, a.words, a.limit && el("small", {}, " (" + a.limit + ")")), el("td", {}, a.blanks.map(onPaper))));
      sheetOnPaper.append(el("section", {}, el("h3", {}, g.title, g.about && el("small", {}, " " + g.about)), (g.again || []).map((t) => el("p", {}, el("b", {}, t))), el("table", {}, el("tbody", {}, rows))));
    }
  }
  return sheetOnPaper;
}

function onPaper(b) {
  const words = b.words && el("small", {}, b.words + " ");
  if (b.choices.length && b.choices[0].name) return el("span", { class: "line" }, words, b.choices.map((c) => el("span", {}, answers.entries[c.name] ? "☒ " : "☐ ", c.words, "  ")));
  return el("span", { class: "line" }, words, el("span", { class: "blank" + (b.kind === "words" ? " long" : "") }, answers.entries[b.name] || b.usual || "\u00a0"), b.kind === "length" && " " + sheet.unit);
}

addEventListener("beforeprint", () => {
  document.getElementById("paper")?.remove();
  block("app").append(paper());
});
addEventListener("afterprint", () => document.getElementById("paper")?.remove());
