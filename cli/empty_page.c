#include "empty_page.h"

// cli/empty_page.S
extern const char empty_page_student[], empty_page_student_end[];
extern const char empty_page_instructor[], empty_page_instructor_end[];

const char *empty_page(int instructor, size_t *length) {
    const char *start = instructor ? empty_page_instructor : empty_page_student;
    const char *end = instructor ? empty_page_instructor_end : empty_page_student_end;
    *length = (size_t)(end - start);
    return *length ? start : NULL;
}
