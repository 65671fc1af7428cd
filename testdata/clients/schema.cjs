// What programs that people edit and check records with make of our schema.
// Reads {"schema", "records", "probes"} from standard input, writes one JSON
// object: what ajv (strict) and a JSON language service, as editors have it, find
// wrong with each record; and for each probe, a text with a place in it, what
// the language service says there and offers. Modules are looked for in NODE_PATH.
const Ajv = require("ajv/dist/2020").default;
const addFormats = require("ajv-formats").default;
const { getLanguageService } = require("vscode-json-languageservice");
const { TextDocument } = require("vscode-languageserver-textdocument");

async function main() {
  const { schema, records = [], probes = [] } = JSON.parse(require("fs").readFileSync(0, "utf8"));
  const ajv = new Ajv({ strict: true, allErrors: true });
  addFormats(ajv);
  const validate = ajv.compile(schema);
  const wrong = (text) => (validate(JSON.parse(text)) ? [] : validate.errors.map((e) => `${e.instancePath} ${e.message}`));
  // Whatever schema a record names is this one.
  const service = getLanguageService({ schemaRequestService: async () => JSON.stringify(schema) });
  service.configure({ schemas: [{ uri: schema.$id, fileMatch: ["*"], schema }] });
  const open = (text) => {
    const document = TextDocument.create("file:///record.json", "json", 1, text);
    return [document, service.parseJSONDocument(document)];
  };
  const edits = async (text) => (await service.doValidation(...open(text))).map((d) => `line ${d.range.start.line + 1}: ${d.message}`);
  const looked = async ({ text, at }) => {
    const [document, tree] = open(text);
    const place = document.positionAt(at);
    const hover = await service.doHover(document, place, tree);
    const offered = await service.doComplete(document, place, tree);
    return {
      hover: hover ? [].concat(hover.contents).map((c) => c.value ?? c).join("\n") : "",
      offered: offered.items.map((item) => item.label),
    };
  };
  const answer = { ajv: records.map(wrong), editor: [], probes: [] };
  for (const text of records) answer.editor.push(await edits(text));
  for (const probe of probes) answer.probes.push(await looked(probe));
  console.log(JSON.stringify(answer));
}
main();
