// Puts answers into the boxes of every place of a sheet as a page, as a person does
// who goes through the list: text by typing events, ticks by clicks. It gives the
// names of those whose boxes are nowhere.
async (entries) => {
  const left = new Map(Object.entries(entries));
  const where = document.getElementById("where");
  if (document.getElementById("list").getAttribute("aria-pressed") === "false") document.getElementById("list").click();
  for (let i = 0; i < where.options.length; i++) {
    where.selectedIndex = i;
    where.dispatchEvent(new Event("change"));
    for (const [name, value] of [...left]) {
      const box = value === true ? document.querySelector(`[data-box="${CSS.escape(name)}"]`) : document.getElementById(name);
      if (!box) continue;
      left.delete(name);
      if (value === true) {
        if (box.getAttribute("aria-pressed") !== "true") box.click();
      } else if (box.value !== value) {
        box.value = value;
        box.dispatchEvent(new Event(box.tagName === "SELECT" ? "change" : "input"));
      }
    }
    await new Promise((done) => setTimeout(done, 0));
  }
  return [...left.keys()];
}
