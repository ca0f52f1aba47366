// The first script of the page: unpacks the core and the rest of the code. What it unpacks runs
// only because the page's policy names its hash.

/** wasm/unpack as base64: what is packed here no browser unpacks by itself. */
declare const UNPACKER: string;

interface Unpacker {
  memory: WebAssembly.Memory;
  room(): number;
  unpack(packed: number, size: number): void;
}

function unpacker(): Unpacker {
  const bytes = Uint8Array.from(atob(UNPACKER), (c) => c.charCodeAt(0));
  // Small enough for every browser to compile at once.
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes));
  return exports as unknown as Unpacker;
}

/** Two characters are 13 bits; the alphabet is all from ! to | but <, which HTML would mind. */
function letters(text: string, bytes: Uint8Array): void {
  const digit = (at: number) => {
    const c = text.charCodeAt(at);
    return c - (c > 60 ? 34 : 33);
  };
  let [bits, waiting, at] = [0, 0, 0];
  for (let i = 0; i < text.length; i += 2) {
    bits = ((bits << 13) | (digit(i) * 91 + digit(i + 1))) & 0xfffff;
    for (waiting += 13; waiting > 7; ) bytes[at++] = bits >>> (waiting -= 8);
  }
}

function unpack(by: Unpacker, id: string): ArrayBuffer {
  const text = document.getElementById(id)?.textContent ?? "";
  const [size, packed, rest] = text.split(" ", 3);
  const room = by.room();
  const out = room + Number(packed);
  const end = out + Number(size);
  const missing = end - by.memory.buffer.byteLength;
  if (missing > 0) by.memory.grow(Math.ceil(missing / 65536));
  letters(rest ?? "", new Uint8Array(by.memory.buffer, room, Number(packed)));
  by.unpack(Number(packed), Number(size));
  return by.memory.buffer.slice(out, end);
}

async function load(): Promise<void> {
  const by = unpacker();
  Object.defineProperty(window, "deadbusCore", { value: unpack(by, "core") });
  const script = document.createElement("script");
  script.textContent = new TextDecoder().decode(unpack(by, "code"));
  document.head.append(script);
}

load().catch((e: unknown) => {
  document.documentElement.dataset["ready"] = "no";
  console.error(e);
});
