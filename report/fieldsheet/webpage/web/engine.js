// The rules, as the program that judges records is built of them. It runs in a
// worker, and where a browser lets none start, on the page itself.

// setlineBytes reads base64.
function setlineBytes(text) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  return bytes;
}

// setlineUnpacked is a stream of what was packed. It stays in this process and this
// turn of it: the stream of a blob would go by way of the browser's own.
function setlineUnpacked(text) {
  const { readable, writable } = new DecompressionStream("gzip");
  const pen = writable.getWriter();
  for (const done of [pen.write(setlineBytes(text)), pen.close()]) done.catch(() => {}); // whoever reads is told
  return readable;
}

// setlineModule compiles the program while it is unpacked.
const setlineModule = (packed) => WebAssembly.compileStreaming(new Response(setlineUnpacked(packed), { headers: { "Content-Type": "application/wasm" } }));

// setlineStart starts the program and gives the function that asks it: a request
// as JSON text in, an answer as JSON text out.
async function setlineStart(module) {
  const go = new Go();
  go.run(await WebAssembly.instantiate(module, go.importObject)); // until it waits for the first request
  return (text) => globalThis.setlineRules(text);
}

if (typeof WorkerGlobalScope !== "undefined" && globalThis instanceof WorkerGlobalScope) {
  let ask;
  onmessage = async ({ data }) => {
    try {
      if (data.packed) {
        const module = await setlineModule(data.packed);
        if (data.only) return postMessage({ module });
        ask = await setlineStart(module);
        postMessage({ started: true });
      } else {
        postMessage({ id: data.id, answer: ask(data.text) });
      }
    } catch (e) {
      postMessage({ id: data.id, failed: String(e) });
    }
  };
}
