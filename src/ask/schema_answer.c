// `deadbus schema`: the JSON Schema of the aircraft file, for editors.
#include "ask/ask_commands.h"
#include "model/schema.h"

status ask_schema(const aircraft *a, const ask_options *o, text *out, findings *f,
                  deadbus_exit *exit) {
    (void)a;
    (void)o;
    (void)f;
    (void)exit;
    return schema_write(out);
}
