// What a reader of PDFs in a browser makes of the structure of a file. Reads a
// PDF from standard input; the arguments are numbers of pages. Writes, for each,
// the structure tree as lines: a role and what is read there, deeper ones indented.
// Modules are looked for in NODE_PATH.
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

console.log = console.error; // the module warns there
// Nothing is drawn here, and Node has no such matrices.
globalThis.DOMMatrix ??= class {};
const found = createRequire(import.meta.url).resolve("pdfjs-dist/legacy/build/pdf.mjs");
const { getDocument, VerbosityLevel } = await import(pathToFileURL(found));
const data = new Uint8Array(readFileSync(0));
const pdf = await getDocument({ data, verbosity: VerbosityLevel.ERRORS, useSystemFonts: false, disableFontFace: true }).promise;

for (const number of process.argv.slice(2)) {
  const page = await pdf.getPage(Number(number));
  const texts = new Map();
  let open = [];
  for (const item of (await page.getTextContent({ includeMarkedContent: true })).items) {
    if (item.type === "beginMarkedContent" || item.type === "beginMarkedContentProps") open.push(item.id);
    else if (item.type === "endMarkedContent") open.pop();
    else for (const id of open) if (id) texts.set(id, (texts.get(id) ?? "") + item.str + (item.hasEOL ? " " : ""));
  }
  const fields = new Map((await page.getAnnotations()).map((a) => [a.id, a]));
  const write = (node, depth) => {
    const line = (text) => process.stdout.write("  ".repeat(depth) + text + "\n");
    if (node.type === "content") return line(JSON.stringify((texts.get(node.id) ?? "").replace(/\s+/g, " ").trim()));
    if (node.type) {
      const a = [...fields.values()].find((a) => node.id.endsWith(a.id));
      return line(`${node.type} ${a?.subtype ?? "?"} ${JSON.stringify(a?.alternativeText ?? a?.contentsObj?.str ?? "")}`);
    }
    line(node.role + (node.alt ? ` alt ${JSON.stringify(node.alt)}` : ""));
    for (const kid of node.children ?? []) write(kid, depth + 1);
  };
  write(await page.getStructTree(), 0);
}
process.exit(0);
