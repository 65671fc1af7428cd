// The rules, as the program that judges records is built of them. It runs in a
// worker, and where a browser lets none start, on the page itself.

// setlineStart starts the program and gives the function that asks it: a request
// as JSON text in, an answer as JSON text out.
async function setlineStart(bytes) {
  const go = new Go();
  const { instance } = await WebAssembly.instantiate(bytes, go.importObject);
  go.run(instance); // until it waits for the first request
  return (text) => globalThis.setlineRules(text);
}

if (typeof WorkerGlobalScope !== "undefined" && globalThis instanceof WorkerGlobalScope) {
  let ask;
  onmessage = async ({ data }) => {
    try {
      if (data.bytes) {
        ask = await setlineStart(data.bytes);
        postMessage({ started: true });
      } else {
        postMessage({ id: data.id, answer: ask(data.text) });
      }
    } catch (e) {
      postMessage({ id: data.id, failed: String(e) });
    }
  };
}
