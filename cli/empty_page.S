// The empty pages, as web/build.mjs made them: everything but the aeroplane.
#if defined(__linux__) && defined(__ELF__)
    .section .note.GNU-stack,"",%progbits
#endif
    .section .rodata
    .global empty_page_student
    .global empty_page_student_end
    .global empty_page_instructor
    .global empty_page_instructor_end
empty_page_student:
#ifdef STUDENT_PAGE
    .incbin STUDENT_PAGE
#endif
empty_page_student_end:
    .byte 0
empty_page_instructor:
#ifdef INSTRUCTOR_PAGE
    .incbin INSTRUCTOR_PAGE
#endif
empty_page_instructor_end:
    .byte 0
