// Keeps the sheet on the device, so that it opens when there is no network. With
// one, the page comes from the server, if that answers within some seconds.
const mine = "setline " + registration.scope;
const version = mine + " @version@";
const files = ["./", "index.html", "manifest.webmanifest", "icon.png", "icon-large.png"];

addEventListener("install", (e) => e.waitUntil(caches.open(version).then((c) => c.addAll(files)).then(() => skipWaiting())));

addEventListener("activate", (e) => e.waitUntil(caches.keys().then((all) => Promise.all(all.filter((n) => n.startsWith(mine + " ") && n !== version).map((n) => caches.delete(n)))).then(() => clients.claim())));

addEventListener("fetch", (e) => {
  if (e.request.method !== "GET") return;
  const kept = () => caches.open(version).then((c) => c.match(e.request, { ignoreSearch: true }));
  if (e.request.mode !== "navigate") return e.respondWith(kept().then((r) => r || fetch(e.request)));
  const late = new Promise((_, fail) => setTimeout(() => fail(new Error("late")), 4000));
  e.respondWith(Promise.race([fetch(e.request), late]).catch(() => kept().then((r) => r || Response.error())));
});
