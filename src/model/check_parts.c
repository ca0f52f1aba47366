#include "model/reader.h"
void check_parts(reader *r) { (void)r; }
void check_network(reader *r) { (void)r; }
void check_conditions(reader *r) { (void)r; }
void check_panel(reader *r) { (void)r; }
