// The module of all commands and the program answer with the same bytes, on every demo aircraft:
// what takes nothing but an aircraft file, in all forms.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { openModule } from "./support/module.mjs";

const { ask } = openModule(process.env.DEADBUS_WASM_ALL);

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
