// Makes the empty pages: everything but the aeroplane in one file. `node build.mjs MODULES FOLDER`
// writes FOLDER/student.html and FOLDER/instructor.html of the modules in folder MODULES.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { initials } from "./initials.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const [modules, folder] = process.argv.slice(2);
if (!folder) throw new Error("node build.mjs MODULES FOLDER");

const hash = (text) => `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;
const font = (family, weight) =>
  readFileSync(
    join(here, `node_modules/@fontsource/${family}/files/${family}-latin-${weight}-normal.woff2`),
  ).toString("base64");

function fontFaces() {
  const faces = [];
  // The serif's bold is made of its regular: it stands in a few words, and is 20 kB.
  for (const [name, family, weights] of [
    ["Page Sans", "noto-sans", [400, 700]],
    ["Page Serif", "noto-serif", [400]],
  ])
    for (const weight of weights)
      faces.push(
        `@font-face{font-family:"${name}";font-weight:${weight};font-display:block;` +
          `src:url(data:font/woff2;base64,${font(family, weight)}) format("woff2")}`,
      );
  return faces.join("");
}

/** `appStyle`: what the running page adds to the style, as a word of the code. */
async function script(entry, appStyle = "") {
  const { outputFiles } = await build({
    entryPoints: [join(here, "src", entry)],
    bundle: true,
    minify: true,
    format: "iife",
    target: ["es2021"],
    charset: "ascii",
    define: { APP_STYLE: JSON.stringify(appStyle), INITIALS: JSON.stringify(initials) },
    legalComments: "none",
    write: false,
  });
  return outputFiles[0].text.trim();
}

async function style(name) {
  const { outputFiles } = await build({
    entryPoints: [join(here, name)],
    bundle: true,
    minify: true,
    write: false,
  });
  return outputFiles[0].text.trim();
}

// Letters that HTML doesn't mind, two for 13 bits; web/src/loader.ts reads them.
const LETTERS = Array.from({ length: 92 }, (_, n) => String.fromCharCode(33 + n)).filter(
  (c) => c !== "<",
);

function pack(bytes) {
  // Smaller than zlib's best, at a second of patience.
  const scratch = join(folder, "packing.tmp");
  writeFileSync(scratch, bytes);
  const options = { maxBuffer: 1 << 26 };
  const packed = execFileSync("zopfli", ["--deflate", "--i5", "-c", scratch], options);
  rmSync(scratch);
  let text = "";
  let [bits, waiting] = [0, 0];
  const put = (word) => (text += LETTERS[Math.floor(word / 91)] + LETTERS[word % 91]);
  for (const byte of packed) {
    bits = ((bits << 8) | byte) & 0xfffff;
    waiting += 8;
    if (waiting >= 13) put((bits >>> (waiting -= 13)) & 8191);
  }
  if (waiting) put((bits << (13 - waiting)) & 8191);
  return `${packed.length} ${text}`;
}

const module = (name) => pack(readFileSync(join(modules, `${name}.wasm`)));

mkdirSync(folder, { recursive: true });
const shell = readFileSync(join(here, "index.html"), "utf8");
const css = fontFaces() + (await style("style.css"));
const loader = await script("loader.ts");
for (const name of ["student", "instructor"]) {
  // A student's core leaves the map to a module of its own.
  const core = module(name === "instructor" ? "deadbus_instructor" : "deadbus");
  const map =
    name === "student" ? `\n<script type="text/plain" id="map">${module("map")}</script>` : "";
  const appStyle = await style(name === "instructor" ? "file.css" : "app.css");
  const code = await script(`${name}.ts`, appStyle);
  const policy = [
    "default-src 'none'",
    `script-src ${hash(loader)} ${hash(code)} 'wasm-unsafe-eval'`,
    `style-src ${hash(css)} ${hash(appStyle)}`,
    "font-src data:",
    // The editor draws its underlines with pictures that it carries along.
    ...(name === "instructor" ? ["img-src data:"] : []),
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const parts = { policy, style: css, core, map, code: pack(Buffer.from(code)), loader };
  const page = shell.replace(/\{\{(\w+)\}\}/g, (_, key) => parts[key]);
  writeFileSync(join(folder, `${name}.html`), page);
  const kb = (text) => `${(text.length / 1000).toFixed(1)} kB`;
  const told = Object.entries({ code: parts.code, style: css, core, map });
  console.log(`${name}.html ${kb(page)}:`, ...told.map(([what, text]) => `${what} ${kb(text)}`));
}
