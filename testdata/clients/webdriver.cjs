// WebKitGTK, the engine of the browsers of iPhones and iPads as it is on other
// systems, driven by WebDriver (a W3C recommendation).
const { spawn } = require("child_process");
const fs = require("fs");
const net = require("net");
const os = require("os");
const path = require("path");

const pause = (ms) => new Promise((done) => setTimeout(done, ms));

const freePort = () => new Promise((done, fail) => {
  const s = net.createServer().on("error", fail).listen(0, "127.0.0.1", () => {
    const { port } = s.address();
    s.close(() => done(port));
  });
});

// webkit starts the browser on a display of its own, and lets it be used: "ask" sends
// a command, "run" calls a function of the page and waits for what it promises.
async function webkit(use) {
  const port = await freePort();
  const home = fs.mkdtempSync(path.join(os.tmpdir(), "webkit-"));
  const driver = spawn("xvfb-run", ["-a", "WebKitWebDriver", "--port=" + port], {
    detached: true, stdio: "ignore", // a group of its own, which ends as a whole
    env: { ...process.env, HOME: home, TMPDIR: home, XDG_CACHE_HOME: home, XDG_DATA_HOME: home, LIBGL_ALWAYS_SOFTWARE: "1" },
  });
  const ended = new Promise((done) => driver.on("error", done).on("exit", done));
  let session = `http://127.0.0.1:${port}/session`;
  const ask = async (method, path, body) => {
    const message = { method, headers: { "content-type": "application/json" }, body: method === "POST" ? JSON.stringify(body || {}) : undefined };
    let answer;
    for (let i = 0; !answer; i++) { // it may not listen yet
      answer = await fetch(session + path, message).catch((e) => {
        if (i >= 300 || e.cause?.code !== "ECONNREFUSED") throw e;
        return pause(100);
      });
    }
    const { value } = await answer.json();
    if (!answer.ok) throw new Error(`${method} ${path}: ${value.message || value.error}`);
    return value;
  };
  try {
    session += "/" + (await ask("POST", "", { capabilities: {} })).sessionId;
    await ask("POST", "/timeouts", { script: 120000 });
    const run = async (what, ...args) => {
      const said = await ask("POST", "/execute/async", { script: `const all = [...arguments], done = all.pop(); (async () => (${what})(...all))().then((value) => done({ value }), (e) => done({ failed: String(e) }))`, args });
      if (said.failed) throw new Error(said.failed);
      return said.value;
    };
    const used = await use({ ask, run });
    await ask("DELETE", "");
    return used;
  } finally {
    try {
      process.kill(-driver.pid, "SIGTERM"); // with the display
    } catch {} // it never began
    await ended;
    fs.rmSync(home, { recursive: true, force: true, maxRetries: 5 });
  }
}

module.exports = { webkit, pause };
