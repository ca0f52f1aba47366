// `schema`: the JSON Schema of aircraft files or scenario files, for editors.
#include "ask/ask_commands.h"
#include "model/scenario.h"
#include "model/schema.h"

status ask_schema(const aircraft *a, const ask_options *o, text *out, findings *f,
                  deadbus_exit *exit) {
    (void)a;
    (void)exit;
    (void)f;
    if (o->scenario)
        return scenario_schema_write(out);
    return schema_write(out);
}
