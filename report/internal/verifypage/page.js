"use strict";
(() => {
  const by = (id) => document.getElementById(id);
  const most = 256 << 20; // as "setline verify" reads
  const marks = { "holds": ["✓", "holds", "good"], "remark": ["!", "remark", "open"], "open": ["?", "not proven", "open"],
    "does not hold": ["✗", "does not hold", "bad"], "not checked": ["–", "not checked", ""] };
  const files = { report: null, trust: null }; // each {name, bytes}
  let engine, last, asked = 0;

  const say = (text) => { by("state").textContent = text; };

  // started gives a function that sends the program one message and waits.
  async function started() {
    const pieces = [...document.querySelectorAll(".program")];
    const packed = pieces.map((e) => e.textContent).join("");
    const start = async (send) => {
      const began = await send({ start: packed });
      if (!began.started) throw new Error(began.failed);
      pieces.forEach((e) => e.remove()); // 10 MB that nobody needs any more
      return send;
    };
    try {
      const url = URL.createObjectURL(new Blob([by("engine").textContent], { type: "text/javascript" }));
      const worker = new Worker(url);
      const waiting = []; // answers come in the order of the questions
      worker.onmessage = (e) => waiting.shift().done(e.data);
      worker.onerror = (e) => waiting.splice(0).forEach((w) => w.failed(new Error(e.message || "a worker cannot be had")));
      return await start((message) => new Promise((done, failed) => { waiting.push({ done, failed }); worker.postMessage(message); }));
    } catch {
      return start(setlineServe); // here in the page
    }
  }

  // another is called whenever something else is asked: what is shown is of
  // what was asked before, and goes. It gives the number of what is asked now.
  function another() {
    by("found").hidden = true;
    last = null;
    return ++asked;
  }

  // take reads a file, or takes note that there is none; false where it says why not.
  async function take(which, file) {
    another();
    files[which] = null;
    if (!file) return true;
    say(`${file.name} is being read.`);
    if (file.size > most) {
      say(`Cannot be read: ${file.name} has ${Math.ceil(file.size / 1048576)} MiB, expected at most ${most >> 20}. Choose ${wanted[which]}.`);
      return false;
    }
    try {
      const bytes = new Uint8Array(await file.arrayBuffer());
      files[which] = { name: file.name, bytes };
    } catch (e) {
      say(`Cannot be read: ${file.name}: ${e.message}. Choose it again.`);
    }
    return files[which] !== null;
  }

  // mend says what to do about a file that is not what it was chosen for.
  function mend({ bytes }, expected) {
    const begins = (...start) => start.every((b, i) => bytes[i] === b);
    if (bytes.length === 0) return "The file is empty: fetch it again.";
    if (begins(0xff, 0xd8) || begins(0x89, 0x50)) return `It is a picture. Choose ${expected}.`;
    if (begins(0x50, 0x4b)) return `It is an archive (zip). Unpack it. Choose ${expected}.`;
    if (begins(0x25, 0x50, 0x44, 0x46)) return `It is a PDF. Choose ${expected}, and fetch it again if this is it.`;
    if (begins(0x7b)) return `It is data (JSON), such as a record or a list. Choose ${expected}.`;
    return `Choose ${expected}, as it was sent.`;
  }

  const wanted = { report: "the signed turnover report, a PDF", trust: "a trust list or certificates in PEM, or go on without one" };

  // check asks about what is chosen; only what was asked last is shown.
  async function check() {
    const { report, trust } = files, mine = another();
    if (!report) return trust && say(`${trust.name} is taken. Choose the report.`);
    say(`${report.name} is being looked at.`);
    let reply;
    try {
      reply = await (await engine)({ ask: {
        report: report.bytes, reportName: report.name, trust: trust && trust.bytes, trustName: trust ? trust.name : "",
        expect: [...document.querySelectorAll("input[name=expect]:checked")].map((box) => box.value),
        strict: by("strict").checked, day: by("day").value || today(),
      } });
    } catch (e) {
      reply = { failed: e.message };
    }
    if (mine !== asked) return;
    if (reply.failed) {
      say(`The program ended: ${reply.failed}. Nothing is proven; open this page again.`);
      return;
    }
    const answer = JSON.parse(reply.answer.json);
    if (answer.error) {
      const which = trust && answer.error.startsWith(trust.name + ":") ? "trust" : "report";
      say(`Cannot be read: ${answer.error}. ${mend(files[which], wanted[which])}`);
      return;
    }
    last = { ...reply.answer, ...answer, whole: report.bytes.length };
    show(answer.verification, answer.text.split("\n", 1)[0]);
  }

  // show shows a verification below its headline, which is that of the command.
  function show(v, headline) {
    const [mark, kind] = { "holds": ["✓", "good"], "does not hold": ["✗", "bad"], "indeterminate": ["?", "open"] }[v.verdict];
    by("verdict").textContent = `${mark} ${headline}`;
    by("verdict").className = kind;
    const unsigned = v.rules_say && !v.signatures.length; // all there is of a report but that
    by("holds").textContent = unsigned ? "No. See below what speaks against it. If nobody signed it yet, ask whoever sent it for the signed report." : {
      "holds": "Yes: everything that can be proven is, and is listed below.",
      "does not hold": "No. See below what speaks against it; nobody answers for what it says.",
      "indeterminate": v.holds_to_revision ? `Not proven. Nothing speaks against it; everything holds up to revision ${v.holds_to_revision}.` : "Not proven. Nothing speaks against it.",
    }[v.verdict];
    if (v.mend && !unsigned) by("holds").textContent += ` What to do: ${v.mend}.`;
    by("answer").textContent = v.answer || "Nothing that anybody answers for" + (v.rules_say ? `; the rules, run again, say ${v.rules_say} of the record inside.` : ".");
    by("signatures").replaceChildren(...v.signatures.map((s) => {
      const who = s.name + (s.firm ? ` (${s.firm})` : "") + (s.role ? ` as ${s.role}` : "");
      return element("li", `${who}: ${s.intact ? "intact" : "NOT INTACT"}, ${s.trust.standing}; ${s.time.replace("T", " ").replace("Z", " UTC")} by the ${s.time_by === "time stamp" ? "time stamp" : "signer's clock"}`);
    }));
    by("unchecked").hidden = !v.signatures.some((s) => s.trust.standing === "not checked");
    if (!v.signatures.length) by("signatures").replaceChildren(element("li", "Nobody."));
    by("checks").replaceChildren(...v.checks.map((c) => {
      const [mark, said, colour] = marks[c.result];
      const row = element("tr");
      const result = element("td", `${mark} ${said}`);
      result.className = colour;
      row.append(result, element("td", c.what), element("td", c.found));
      return row;
    }));
    by("record").hidden = !last.record;
    by("part").hidden = !last.part || last.part.length === last.whole;
    by("found").hidden = false;
    say("");
    by("verdict").focus();
  }

  function element(name, text) {
    const e = document.createElement(name);
    if (text !== undefined) e.textContent = text;
    return e;
  }

  function save(data, name, type) {
    const link = element("a");
    link.href = URL.createObjectURL(new Blob([data], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  function today() {
    const now = new Date();
    return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
  }

  by("day").value = today();
  for (const which of ["report", "trust"]) {
    by(which).addEventListener("change", async (e) => {
      const taken = await take(which, e.target.files[0]);
      showNone();
      if (taken) check();
    });
  }
  // Not every device lets a file be chosen away.
  const showNone = () => { by("none").hidden = !by("trust").value; };
  by("none").addEventListener("click", () => { by("trust").value = ""; files.trust = null; showNone(); by("trust").focus(); check(); });
  for (const box of document.querySelectorAll("input[name=expect], #strict, #day")) box.addEventListener("change", check);
  by("ask").addEventListener("submit", (e) => e.preventDefault());
  by("record").addEventListener("click", () => save(last.record, "record.json", "application/json"));
  by("part").addEventListener("click", () => save(last.part, "report.pdf", "application/pdf"));
  by("text").addEventListener("click", () => save(last.text, "verification.txt", "text/plain"));

  document.addEventListener("dragover", (e) => { e.preventDefault(); document.body.classList.add("over"); });
  document.addEventListener("dragleave", (e) => { if (!e.relatedTarget) document.body.classList.remove("over"); });
  document.addEventListener("drop", async (e) => {
    e.preventDefault();
    document.body.classList.remove("over");
    const kinds = { report: [], trust: [] };
    for (const file of e.dataTransfer.files) kinds[/\.(json|pem|crt|cer)$/i.test(file.name) ? "trust" : "report"].push(file);
    for (const files of Object.values(kinds)) {
      if (files.length > 1) return another(), say(`Cannot be read: ${files.map((f) => f.name).join(" and ")} at once. Drop one, with whom you trust, and then the next.`);
    }
    let all = true;
    for (const [which, [file]] of Object.entries(kinds)) {
      if (!file) continue;
      all = (await take(which, file)) && all;
      const list = new DataTransfer();
      list.items.add(file);
      by(which).files = list.files; // so that the form says what is looked at
      showNone();
    }
    if (all) check();
  });

  engine = started();
  engine.then(() => { if (!asked) say("Ready: choose a report."); }, (e) => {
    say(`This browser cannot run the program: ${e.message}. Nothing is checked; use another browser, or the command "setline verify".`);
  });
})();
