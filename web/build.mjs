// Makes the empty pages: everything but the aeroplane in one file. `node build.mjs WASM FOLDER`
// writes FOLDER/student.html and FOLDER/instructor.html.
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { deflateRawSync } from "node:zlib";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const [wasm, folder] = process.argv.slice(2);
if (!folder) throw new Error("node build.mjs WASM FOLDER");

const hash = (text) => `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;
const font = (family, weight) =>
  readFileSync(
    join(here, `node_modules/@fontsource/${family}/files/${family}-latin-${weight}-normal.woff2`),
  ).toString("base64");

function fontFaces() {
  const faces = [];
  for (const [name, family] of [
    ["Page Sans", "noto-sans"],
    ["Page Serif", "noto-serif"],
  ])
    for (const weight of [400, 700])
      faces.push(
        `@font-face{font-family:"${name}";font-weight:${weight};font-display:block;` +
          `src:url(data:font/woff2;base64,${font(family, weight)}) format("woff2")}`,
      );
  return faces.join("");
}

async function script(entry) {
  const { outputFiles } = await build({
    entryPoints: [join(here, "src", entry)],
    bundle: true,
    minify: true,
    format: "esm",
    target: ["es2021"],
    charset: "ascii",
    legalComments: "none",
    write: false,
  });
  // The text ends at the first closing tag, even inside a string.
  return outputFiles[0].text.trim().replace(/<\/script/gi, "<\\/script");
}

async function style() {
  const { outputFiles } = await build({
    entryPoints: [join(here, "style.css")],
    bundle: true,
    minify: true,
    write: false,
  });
  return fontFaces() + outputFiles[0].text.trim();
}

const core = deflateRawSync(readFileSync(wasm), { level: 9, memLevel: 9 }).toString("base64");
const shell = readFileSync(join(here, "index.html"), "utf8");
const css = await style();
mkdirSync(folder, { recursive: true });
for (const name of ["student", "instructor"]) {
  const code = await script(`${name}.ts`);
  const policy = [
    "default-src 'none'",
    `script-src ${hash(code)} 'wasm-unsafe-eval'`,
    `style-src ${hash(css)}`,
    "font-src data:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const parts = { policy, style: css, core, script: code };
  const page = shell.replace(/\{\{(\w+)\}\}/g, (_, key) => parts[key]);
  writeFileSync(join(folder, `${name}.html`), page);
  const kb = (text) => `${(text.length / 1000).toFixed(1)} kB`;
  console.log(`${name}.html ${kb(page)}: script ${kb(code)}, style ${kb(css)}, core ${kb(core)}`);
}
