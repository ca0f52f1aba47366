// node test/wasm/support/run.mjs PROGRAM.wasm [WORD...]: runs a WebAssembly program that may read
// this folder; ends with its status.
import { readFile } from "node:fs/promises";

// node's own WASI is called experimental on standard error, which would be read as a failure.
process.removeAllListeners("warning");
const { WASI } = await import("node:wasi");
const [program, ...words] = process.argv.slice(2);
const wasi = new WASI({
  version: "preview1",
  args: [program, ...words],
  preopens: { ".": process.cwd() },
  returnOnExit: true,
});
// Called straight from WebAssembly, node 20's functions end in a segmentation fault.
const wrapped = Object.fromEntries(
  Object.entries(wasi.wasiImport).map(([name, call]) => [name, (...given) => call(...given)]),
);
const module = await WebAssembly.compile(await readFile(program));
const instance = await WebAssembly.instantiate(module, { wasi_snapshot_preview1: wrapped });
process.exitCode = wasi.start(instance);
