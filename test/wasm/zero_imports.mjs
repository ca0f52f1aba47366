// The core does no input and no output: the module of it imports nothing, and exports what
// wasm/exports.txt lists.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";

const module = new WebAssembly.Module(readFileSync(process.env.DEADBUS_WASM));
assert.deepEqual(WebAssembly.Module.imports(module), [], "the module has imports");

const listed = readFileSync("wasm/exports.txt", "utf8")
  .split("\n")
  .filter((line) => /^[a-z_]/.test(line));
const exported = WebAssembly.Module.exports(module).map((entry) => entry.name);
assert.deepEqual([...exported].sort(), [...listed, "memory"].sort(), "not what the list says");

const instance = new WebAssembly.Instance(module, {});
instance.exports._initialize();
