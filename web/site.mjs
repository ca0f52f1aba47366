// The index of the site and its service worker: node web/site.mjs FOLDER NAME...
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const [folder, ...names] = process.argv.slice(2);
const escape = (text) =>
  text.replace(/[&<>"]/g, (c) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" })[c]);
const titles = names.map((name) => {
  const page = readFileSync(join(folder, `${name}.html`), "utf8");
  return /<title>([^<]*)<\/title>/.exec(page)?.[1] ?? escape(name);
});

const script = `if ("serviceWorker" in navigator) navigator.serviceWorker.register("worker.js");`;
const style = `body{font:17px/26px system-ui,sans-serif;margin:0 auto;max-width:42em;padding:24px;
color:#16191d;background:#fff}a{display:block;color:inherit;padding:12px 0;min-height:48px;
border-top:1px solid #c9ced6}h1{font:700 28px/36px Georgia,serif}
@media (prefers-color-scheme:dark){body{color:#eef2f5;background:#0f1418}}`;
const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
const policy =
  `default-src 'none'; script-src ${hash(script)} 'self'; style-src ${hash(style)}; ` +
  "worker-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'";
const links = names.map((name, i) => `<a href="${name}.html">${titles[i]}</a>`).join("\n");
writeFileSync(
  join(folder, "index.html"),
  `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Aeroplanes to learn from</title>
<style>${style}</style>
</head>
<body>
<main>
<h1>Aeroplanes to learn from</h1>
<p>For teaching only. The approved flight manual, the maintenance manual, local rules and licensed
people come first. After the first visit every page opens without a network.</p>
${links}
</main>
<script>${script}</script>
</body>
</html>
`,
);

const files = ["./", "index.html", ...names.map((name) => `${name}.html`)];
const sum = createHash("sha256");
for (const file of files.slice(1)) sum.update(readFileSync(join(folder, file)));
const version = `deadbus-${sum.digest("hex").slice(0, 12)}`;
writeFileSync(
  join(folder, "worker.js"),
  `// Keeps the site's files: the network is asked only for what isn't kept yet.
const version = "${version}";
const files = ${JSON.stringify(files)};
self.addEventListener("install", (e) =>
  e.waitUntil(caches.open(version).then((c) => c.addAll(files)).then(() => self.skipWaiting())));
self.addEventListener("activate", (e) =>
  e.waitUntil(caches.keys().then((all) =>
    Promise.all(all.filter((k) => k.startsWith("deadbus-") && k !== version)
      .map((k) => caches.delete(k)))).then(() => self.clients.claim())));
self.addEventListener("fetch", (e) =>
  e.respondWith(caches.match(e.request, { ignoreSearch: true }).then((kept) =>
    kept ?? fetch(e.request))));
`,
);
