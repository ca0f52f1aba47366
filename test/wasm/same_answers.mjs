// The module of all commands and the program answer with the same bytes, on every demo aircraft:
// what takes nothing but an aircraft file, in all forms.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";

const bytes = readFileSync(process.env.DEADBUS_WASM_ALL);
const { exports: core } = new WebAssembly.Instance(new WebAssembly.Module(bytes), {});
core._initialize();

function put(data) {
  const at = core.module_memory(Math.max(1, data.length));
  assert.notEqual(at, 0, "no memory");
  new Uint8Array(core.memory.buffer, at, data.length).set(data);
  return at;
}

function text(at, length) {
  return Buffer.from(core.memory.buffer, at, length).toString("utf8");
}

function ask(command, name, file, options) {
  const words = Buffer.from([command, name, ...options].map((word) => `${word}\0`).join(""));
  const wordsAt = put(words);
  const fileAt = put(file);
  const answer = core.module_ask(wordsAt, words.length, fileAt, file.length);
  assert.notEqual(answer, 0, "no answer");
  const result = {
    exit: core.module_exit(answer),
    out: text(core.module_out(answer), core.module_out_length(answer)),
    messages: text(core.module_messages(answer), core.module_messages_length(answer)),
  };
  core.module_forget(answer);
  core.module_release(wordsAt);
  core.module_release(fileAt);
  return result;
}

const questions = [
  ["check"],
  ["check", "--json"],
  ["show"],
  ["show", "--json"],
  ["show", "--csv"],
  ["show", "--faults"],
  ["show", "--faults", "--json"],
  ["state"],
  ["state", "--json"],
  ["state", "--phase", "cruise", "--json"],
  ["state", "--fail", "battery=dead", "--json"],
  ["endurance"],
  ["endurance", "--json"],
  ["draw"],
  ["draw", "--theme", "print"],
];

const aircraft = readdirSync("aircraft").filter((name) => name.endsWith(".yaml"));
assert.ok(aircraft.length > 0, "no aircraft");
for (const name of aircraft) {
  const path = `aircraft/${name}`;
  const file = readFileSync(path);
  for (const [command, ...options] of questions) {
    const what = `${command} ${path} ${options.join(" ")}`;
    const native = spawnSync(process.env.DEADBUS, [command, path, ...options], {
      encoding: "utf8",
      env: { ...process.env, NO_COLOR: "1" },
      maxBuffer: 1 << 26,
    });
    assert.equal(native.error, undefined, what);
    const inside = ask(command, path, file, options);
    assert.equal(inside.exit, native.status, `exit of ${what}\n${native.stderr}${inside.messages}`);
    assert.equal(inside.out, native.stdout, `answer of ${what}`);
    assert.equal(inside.messages, native.stderr, `messages of ${what}`);
  }
}
