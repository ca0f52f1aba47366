// A battery that one load runs down, as a transient of ngspice: the wells as charge on two
// capacitors, the sag as a third, EMF and resistance as behavioral sources.
#ifndef DEADBUS_TEST_RUN_DOWN_PEER_H
#define DEADBUS_TEST_RUN_DOWN_PEER_H

typedef struct run_down {
    const char *words, *law;   // of the load, in the file and as a current in the netlist
    double celsius, capacity;  // C, and its share of the capacity at that temperature
    double threshold;          // volts across the load
} run_down;

enum { RUN_DOWN_COUNT = 5 };
extern const run_down run_downs[RUN_DOWN_COUNT];

enum { RUN_DOWN_FILE_MOST = 1000 };
// The same circuit as an aircraft file.
void run_down_file(const run_down *s, char text[RUN_DOWN_FILE_MOST]);

// Runs the transient, 7000 s from 90 % of a charge. spice_start comes first, then all of its
// vectors can be read ("time", "load"), until it is forgotten.
void run_down_spice(const run_down *s);
const double *run_down_vector(const char *name, int *count);
void run_down_forget(void);

#endif
