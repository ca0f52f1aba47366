# One line a case, "ok N - name" or "not ok N - name"; the script ends with 1 if any case failed.
# Source it, then: is "name" command... ; isnt "name" command... ; and `finish` at the end.
cases=0
failures=0

tell() { # STATUS NAME
    cases=$((cases + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $cases - $2"
    else
        failures=$((failures + 1))
        echo "not ok $cases - $2"
    fi
}

is() {
    local name=$1 status=0
    shift
    "$@" >"$DEADBUS_SCRATCH/said" 2>&1 || status=$?
    tell "$status" "$name"
    [ "$status" -eq 0 ] || sed 's/^/#   /' "$DEADBUS_SCRATCH/said"
}

# ends NAME STATUS command... : the exit status is just this
ends() {
    local name=$1 expected=$2 status=0
    shift 2
    "$@" >"$DEADBUS_SCRATCH/said" 2>&1 || status=$?
    tell $((status != expected)) "$name"
    [ "$status" -eq "$expected" ] || {
        echo "#   ended with $status, not $expected"
        sed 's/^/#   /' "$DEADBUS_SCRATCH/said"
    }
}

finish() {
    echo "1..$cases"
    [ "$failures" -eq 0 ]
}
