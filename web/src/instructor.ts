import { enduranceView } from "./endurance_view.ts";
import { fileView } from "./file_view.ts";
import { start } from "./start.ts";

void start("aircraft-file", [enduranceView, fileView]);
