// What unpacks a page gives back what was packed, to the byte. It is held against xz, which packs;
// the inputs go through every kind of step: literals, long and short distances, repeats.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";

const module = process.env.DEADBUS_WASM;
const unpacker = new WebAssembly.Module(readFileSync(join(dirname(module), "unpack.wasm")));
assert.deepEqual(WebAssembly.Module.imports(unpacker), [], "it needs nothing");

function pack(bytes) {
  const how = ["--format=raw", "--lzma1=preset=9e,lc=4,lp=0,pb=0", "-c"];
  return execFileSync("xz", how, { input: bytes, maxBuffer: 1 << 26 });
}

function unpack(packed, size) {
  const { memory, room, unpack } = new WebAssembly.Instance(unpacker).exports;
  const at = room();
  const missing = at + packed.length + size - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / 65536));
  new Uint8Array(memory.buffer, at, packed.length).set(packed);
  unpack(packed.length, size);
  return Buffer.from(memory.buffer, at + packed.length, size);
}

/** The same bytes on every machine; nothing in them to be packed. */
function noise(length) {
  let state = 1;
  return Buffer.from(
    Array.from({ length }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state >>> 24;
    }),
  );
}

const inputs = {
  nothing: Buffer.alloc(0),
  "one byte": Buffer.from([7]),
  zeros: Buffer.alloc(100_000),
  noise: noise(70_000),
  "noise, twice, far apart": Buffer.concat([noise(300_000), Buffer.alloc(500_000), noise(300_000)]),
  "short repeats": Buffer.from("abcabdabeabcabcdabcde".repeat(999)),
  text: readFileSync("aircraft/clove.yaml"),
  "the module": readFileSync(module),
};
for (const [name, bytes] of Object.entries(inputs)) {
  const packed = pack(bytes);
  assert.ok(unpack(packed, bytes.length).equals(bytes), name);
  // A page that was cut short ends as well, with other bytes.
  if (bytes.length > 1000) {
    const cut = unpack(packed.subarray(0, packed.length >> 1), bytes.length);
    assert.equal(cut.length, bytes.length);
    assert.ok(!cut.equals(bytes), `${name}, cut short`);
  }
}
console.log(`${Object.keys(inputs).length} inputs come back`);
