// Holds every *.json file of a folder against a JSON Schema with ajv, one by
// one in one process: node ajv.mjs record.schema.json DIR. To measure beside;
// see DEVELOPERS.md.
import fs from "node:fs";
import path from "node:path";
import Ajv from "ajv/dist/2020.js";
import addFormats from "ajv-formats";

const [schema, dir] = process.argv.slice(2);
const ajv = new Ajv({ allErrors: true });
addFormats(ajv);
const validate = ajv.compile(JSON.parse(fs.readFileSync(schema)));
let files = 0, bad = 0;
for (const name of fs.readdirSync(dir, { recursive: true })) {
  if (!name.endsWith(".json")) continue;
  files++;
  if (!validate(JSON.parse(fs.readFileSync(path.join(dir, name))))) bad++;
}
console.log(`${files} files, ${bad} do not fit`);
