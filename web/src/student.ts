import { start } from "./start.ts";

void start("aircraft", []);
