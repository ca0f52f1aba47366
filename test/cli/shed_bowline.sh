# What to switch off, in both forms. Compared with the .out file: read it as a pilot would.
ask() { # LINES options... : so many lines of the answer, and the exit status
    local lines=$1 status=0
    shift
    "$DEADBUS" shed aircraft/bowline.yaml "$@" >"$DEADBUS_SCRATCH/answer" || status=$?
    head -n "$lines" "$DEADBUS_SCRATCH/answer"
    printf '[%s]\n\n' "$status"
}
ask 60 --need 45min
ask 60 --need 45min --json
ask 24 --phase night-cruise --need 3h --set cloud=yes --set icing=yes --charge 60% --noticed 2min
ask 3 --phase night-cruise --need 3h --json
ask 3
ask 3 --need 45min --need 30min
