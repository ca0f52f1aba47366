# What an answer says, its spaces and line ends made one. Source it after tap.bash.
# shellcheck shell=bash

says() { # NAME WORDS command...
    local name=$1 words=$2
    shift 2
    "$DEADBUS" "$@" >"$DEADBUS_SCRATCH/both" 2>&1 || true
    tr -s ' \n' ' ' <"$DEADBUS_SCRATCH/both" >"$DEADBUS_SCRATCH/text"
    is "$name" grep -qF -- "$words" "$DEADBUS_SCRATCH/text"
}
unsaid() { # NAME WORDS : not in what was just said
    is "$1" bash -c '! grep -qF -- "$1" "$2"' _ "$2" "$DEADBUS_SCRATCH/text"
}
holds() { # NAME expression about `a` command... : of the answer for programs
    local name=$1 expression=$2
    shift 2
    "$DEADBUS" "$@" --json >"$DEADBUS_SCRATCH/answer.json" 2>/dev/null || true
    is "$name" node -e "
        const a = JSON.parse(require('fs').readFileSync('$DEADBUS_SCRATCH/answer.json'));
        if (!($expression)) { console.log(JSON.stringify(a).slice(0, 2000)); process.exit(1); }"
}
