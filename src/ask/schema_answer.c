// `schema`: the JSON Schema of aircraft files or scenario files, for editors.
#include "ask/ask_commands.h"
#include "model/scenario.h"
#include "model/schema.h"

status ask_schema(const aircraft *a, const ask_options *o, text *out, findings *f,
                  deadbus_exit *exit) {
    (void)a;
    (void)exit;
#ifndef __wasm__
    (void)f;
    if (o->scenario)
        return scenario_schema_write(out);
#else
    if (o->scenario) {
        findings_say(f, SEVERITY_ERROR, (span){0}, "not-here", "Ask the program",
                     "the page doesn't know scenarios", NULL);
        return STATUS_BAD_REQUEST;
    }
#endif
    return schema_write(out);
}
