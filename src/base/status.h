// What a call can end with. Text for people goes into findings, never here.
#ifndef DEADBUS_BASE_STATUS_H
#define DEADBUS_BASE_STATUS_H

typedef enum status {
    STATUS_OK = 0,
    STATUS_NO_MEMORY,    // an allocation failed; nothing is leaked, results are not valid
    STATUS_BAD_FILE,     // the file has errors: see its findings
    STATUS_BAD_REQUEST,  // the question itself is wrong: see the findings
    STATUS_LIMIT,        // a stated limit (parts, faults, size) was passed: see the findings
} status;

#endif
