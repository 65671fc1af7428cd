// The program, unpacked and started: in a worker where the browser gives one to
// a file opened from disk, else in the page itself. The same text is both.
"use strict";

// setlineStart unpacks the program and runs it; after it setlineVerify is there.
async function setlineStart(packed) {
  const raw = atob(packed.trim());
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  const { instance } = await WebAssembly.instantiate(await new Response(plain).arrayBuffer(), go.importObject);
  go.run(instance); // stays, to answer
}

// A message is {start: packed} or {ask: question}; the answer to it is
// {started: true}, {answer: answer} or {failed: why}.
async function setlineServe(message) {
  try {
    if (message.start !== undefined) {
      await setlineStart(message.start);
      return { started: true };
    }
    return { answer: setlineVerify(message.ask) };
  } catch (e) {
    return { failed: String(e && e.message || e) };
  }
}

if (typeof document === "undefined") {
  self.onmessage = async (e) => self.postMessage(await setlineServe(e.data));
}
