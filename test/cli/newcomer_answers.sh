# What puzzled people who wrote their first file: answers that say what they rest on.
# shellcheck disable=SC1091,SC2154 # cases: of the file sourced
source test/cli/tap.bash

state() { # FILE options... : the answer's text, on one line
    "$DEADBUS" state "$@" 2>"$DEADBUS_SCRATCH/findings" | tr -s ' \n' ' ' >"$DEADBUS_SCRATCH/text"
}
said() { is "$1" grep -qF -- "$2" "$DEADBUS_SCRATCH/text"; }
unsaid() { is "$1" sh -c '! grep -qF -- "$1" "$2"' sh "$2" "$DEADBUS_SCRATCH/text"; }

steps=docs/guide/steps
bare=$DEADBUS_SCRATCH/bare.yaml
sed '/^phases:/,$d' $steps/1-ten-lines.yaml >"$bare"
state "$bare" --fail alternator=dead
# shellcheck disable=SC2016 # backquotes of the answer
said "without phases: that everything is off is told" 'The file has no `phases:`: every switch is off'
state $steps/1-ten-lines.yaml --fail alternator=dead
# shellcheck disable=SC2016 # backquotes of the answer
unsaid "with phases: it isn't" 'has no `phases:`'

endless=$DEADBUS_SCRATCH/endless.yaml
sed 's/ until cut-out below -2 A//' $steps/seventh.yaml >"$endless"
state "$endless"
said "what never settles is named" "parts switch on and off without end: cut out."
said "a bus that swings" "swings 12.7 to 13.9 V"
unsaid "a bus that swings isn't on the battery only" "battery only swings"
state $steps/seventh.yaml
unsaid "a latch ends it" "never settles"

is "what isn't settled is in the JSON" \
    sh -c '"$DEADBUS" show docs/guide/steps/4-radios.yaml --json 2>/dev/null |
        jq -e ".not_settled == [{id: \"map-light\", perhaps_from: [\"cabin-breaker\", \"gauge-breaker\"]}]"'
is "what two papers say differently as well" \
    sh -c '"$DEADBUS" show aircraft/bowline.yaml --json | jq -e ".not_settled[0] |
        .id == \"map-light\" and .found == \"panel-light-breaker\" and .but == \"cabin-breaker\""'
is "nothing open: an empty list" \
    sh -c '"$DEADBUS" show aircraft/reef.yaml --json | jq -e ".not_settled == []"'

# Ways of the reason that led nowhere leave no words: each magneto stands still because the engine does.
state aircraft/bowline.yaml --phase taxi --fail engine-fuel-pump=failed
said "what stops the engine is told alone" \
    "engine doesn't work, because there is no fuel pressure; that is because engine fuel pump has failed."
unsaid "and nothing beside it" "no spark"

# Without `gives:` hardly anything counts as what must stay: an answer that nothing is lost says so.
few=$DEADBUS_SCRATCH/few.yaml
sed 's/, gives: [a-z-]*}/}/; s/, gives: \[[^]]*\]}/}/; /^functions:/,/^$/d' $steps/sixth.yaml |
    sed 's/, gives: power//; s/makes: oil-pressure}/makes: oil-pressure, gives: power}/' >"$few"
for command in "endurance" "shed --need 30min"; do
    # shellcheck disable=SC2086 # two words
    "$DEADBUS" ${command%% *} "$few" $(printf '%s' "$command" | cut -s -d' ' -f2-) 2>/dev/null |
        tr -s ' \n' ' ' >"$DEADBUS_SCRATCH/text"
    # shellcheck disable=SC2016 # backquotes of the answer
    said "$command: what counts is told" 'Only what an item `gives:` in the file counts'
done

# A breaker whose place isn't written is not therefore out of reach.
"$DEADBUS" show $steps/seventh.yaml 2>/dev/null | tr -s ' \n' ' ' >"$DEADBUS_SCRATCH/text"
said "no place written" "main fuse 60 (no place)"
unsaid "no place written isn't out of reach" "out of reach"
"$DEADBUS" show aircraft/bowline.yaml | tr -s ' \n' ' ' >"$DEADBUS_SCRATCH/text"
said "out of reach where the file says so" "HOT 3 (out of reach)"

# What a file leaves open or small is told by check.
told() { # NAME FINDING LINE... : of a file with these parts
    local name=$1 finding=$2
    shift 2
    printf '%s\n' 'deadbus: 1' 'aircraft: {nominal: 28 V}' 'parts:' '  engine: {engine: turns}' \
        '  battery: {battery: 24 V, to: bus}' '  bus: {bus: MAIN}' '  lamp: {lamp: 2 A, from: bus}' \
        "$@" >"$bare"
    "$DEADBUS" check "$bare" 2>"$DEADBUS_SCRATCH/text" >"$DEADBUS_SCRATCH/answer" || true
    said "$name" "$finding"
}
# shellcheck disable=SC2016 # backquotes of the answer
told "a source that feeds nothing" \
    "nothing is joined to 'alternator'. name what it feeds: \`to: ID\`" \
    '  alternator: {alternator: 60 A, field-from: bus}'
told "a shunt below the least resistance" \
    "8:3: note: 'shunt' has 0.05 mohm, and is taken as 0.1 mohm" \
    '  shunt: {shunt: 1000 A, from: bus, to: far}' '  far: {bus: FAR}' '  fan: {motor: 1 A, from: far}'
told "a run of wire below it" "8:3: note: 'cable' has 0.06 mohm" \
    '  cable: {wire: 4/0 AWG 1 ft, from: bus, to: far}' '  far: {bus: FAR}' '  fan: {motor: 1 A, from: far}'
# shellcheck disable=SC2016 # backquotes of the answer
told "a name that starts with a digit" 'a name that starts with a digit goes in `label:`' \
    '  com: {radio: 2nd COM, from: bus}'
finish
