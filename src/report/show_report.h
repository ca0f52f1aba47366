// The aeroplane's map, written as text, JSON and a table; and the faults that its parts can have.
#ifndef DEADBUS_REPORT_SHOW_REPORT_H
#define DEADBUS_REPORT_SHOW_REPORT_H

#include "report/bus_map.h"

void show_text(const bus_map *m, const char *caution, text *out);
void show_json(const bus_map *m, const char *caution, text *out);
void show_csv(const bus_map *m, text *out);

void faults_text(const aircraft *a, text *out);
void faults_json(const aircraft *a, text *out);
void faults_csv(const aircraft *a, text *out);

// {"battery-switch":"on",...}: positions in the words that `--set` takes.
void settings_json(const aircraft *a, const double *setting, text *out);

// For the files of this room.
bool show_unsettled(const part *p);  // its `from` isn't known yet
void parts_and_phases_json(const aircraft *a, text *out);
void show_lists(const aircraft *a, text *out);   // ground side, without volts, functions, supplies
void show_places(const aircraft *a, text *out);  // the grid of breakers as the pilot finds them
void csv_field(text *out, const char *words);    // quoted where RFC 4180 demands it
// "0.35", "7.0", "140": as many places as a load figure deserves.
void load_figure(double amps, text *t);

#endif
