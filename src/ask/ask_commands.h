// One function a command, or one for each form of its answer (answers.h). Each writes its answer to
// `out`; what is wrong with the question goes to `f` and ends it with STATUS_BAD_REQUEST. `exit`
// comes as DEADBUS_DONE and becomes DEADBUS_NO where the answer is "no".
#ifndef DEADBUS_ASK_ASK_COMMANDS_H
#define DEADBUS_ASK_ASK_COMMANDS_H

#include "ask/options.h"
#include "base/findings.h"
#include "base/status.h"
#include "base/text.h"
#include "deadbus.h"
#include "draw/theme.h"
#include "model/aircraft.h"

// The usual caution, one sentence a line without the line's end; stands in every answer that could
// be carried into an aeroplane.
extern const char caution_line[];

theme_id theme_asked(ask_theme t);

// `a` is NULL if the file has errors: then `f` holds them.
status check_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                      deadbus_exit *exit);
status check_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit);
status show_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit);
status show_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit);
status show_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                   deadbus_exit *exit);
status state_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                      deadbus_exit *exit);
status state_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit);
// `show` with all that it lists: the page asks neither --normal nor what it needs.
status show_all_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                         deadbus_exit *exit);
status show_all_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                        deadbus_exit *exit);
status show_all_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                       deadbus_exit *exit);
status endurance_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                          deadbus_exit *exit);
status endurance_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                         deadbus_exit *exit);
status endurance_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                        deadbus_exit *exit);
status ask_shed(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit);
status ask_draw(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit);
status ask_draw_told(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit);  // for deadbus_draw_told
status ask_page(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit);
status card_in_form(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit);
status card_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit);
// `a` is NULL: it is about the format, not about one file.
status ask_schema(const aircraft *a, const ask_options *o, text *out, findings *f,
                  deadbus_exit *exit);

// The scenario is the question's; what is wrong with it goes to o->scenario_findings.
status run_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit);
status run_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                   deadbus_exit *exit);
status run_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                  deadbus_exit *exit);

#endif
