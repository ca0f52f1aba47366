import { fileView } from "./file_view.ts";
import { start } from "./start.ts";

void start([fileView]);
