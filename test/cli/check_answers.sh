# `check`: the exit status, the text, and JSON that agrees with itself.
# shellcheck shell=bash disable=SC2016
. "$(dirname "$0")/tap.bash"
json=$DEADBUS_SCRATCH/check.json
page=$DEADBUS_SCRATCH/check.txt

for file in aircraft/*.yaml; do
    name=$(basename "$file" .yaml)
    ends "$name is right" 0 "$DEADBUS" check "$file"
    "$DEADBUS" check "$file" >"$page" 2>/dev/null
    "$DEADBUS" check "$file" --json >"$json" 2>"$DEADBUS_SCRATCH/findings"
    is "$name: JSON says so" jq -e '.right and .errors == 0' "$json"
    is "$name: one assumption for each assumed figure" \
        jq -e '(.assumed | length) == .figures.assumed' "$json"
    is "$name: every assumption has part, key, figure and value" \
        jq -e 'all(.assumed[]; .part != "" and .key != "" and .figure != "" and (.value | type) == "number")' "$json"
    is "$name: the counts are those of the findings" \
        jq -e '.errors + .warnings + .notes == (.findings | length)' "$json"
    is "$name: findings are told on standard error too, one a line" \
        [ "$(jq '.findings | length' "$json")" -eq "$(grep -c . "$DEADBUS_SCRATCH/findings")" ]
    is "$name: the text counts the same" grep -qx "  assumed   $(jq .figures.assumed "$json")" "$page"
    is "$name: the caution stands in both" \
        [ "$(tr -s '\n' ' ' <"$page" | grep -c 'approved flight manual')" = "$(jq -r .caution "$json" | grep -c 'approved flight manual')" ]
    is "$name: what matters most is open, and the largest share comes first" \
        jq -e '.weights | ([.batteries[], .items[]] | all(.[]; .basis == "assumed" or .basis == "guess"))
               and ([.items[].share] | . == (sort | reverse) and add <= 1.000001)' "$json"
    is "$name: fits a terminal" [ "$(wc -L <"$page")" -le 80 ]
done

# A reading by hand that the solved one doesn't come near is told at its line; one that can't be told
# apart from it on that instrument isn't.
sed 's/voltmeter: 28.0 V measured/voltmeter: 26.5 V measured/' aircraft/bowline.yaml \
    >"$DEADBUS_SCRATCH/other.yaml"
line=$(grep -n 'voltmeter: 26.5 V' "$DEADBUS_SCRATCH/other.yaml" | cut -d: -f1)
"$DEADBUS" check "$DEADBUS_SCRATCH/other.yaml" --json >"$json" 2>/dev/null
is "a reading by hand that differs is a finding at its line" \
    jq -e --argjson line "$line" '[.findings[] | select(.code == "reading-differs" and .line == $line)] | length == 1' "$json"
sed 's/voltmeter: 28.0 V measured/voltmeter: 27.6 V measured/' aircraft/bowline.yaml \
    >"$DEADBUS_SCRATCH/near.yaml"
"$DEADBUS" check "$DEADBUS_SCRATCH/near.yaml" --json >"$json" 2>/dev/null
is "one that can't be told apart on the needle isn't" \
    jq -e 'all(.findings[]; .code != "reading-differs")' "$json"

# One figure of the bowline, followed from the file to the answer.
"$DEADBUS" check aircraft/bowline.yaml --json >"$json"
is "a figure that the file gives isn't assumed" \
    jq -e 'all(.assumed[]; .part != "battery" or .key != "resistance")' "$json"
is "a figure that it leaves out is, with its default" \
    jq -e 'any(.assumed[]; .part == "battery" and .key == "charge" and .figure == "80 %")' "$json"
grep -v 'charge' aircraft/bowline.yaml | sed 's/resistance: 22 mohm guess, //' >"$DEADBUS_SCRATCH/less.yaml"
"$DEADBUS" check "$DEADBUS_SCRATCH/less.yaml" --json >"$json" 2>/dev/null || true
is "left out, it becomes assumed" \
    jq -e 'any(.assumed[]; .part == "battery" and .key == "resistance")' "$json"

# Which assumptions matter most: the shares are those of the currents that `state` solves.
whole=docs/guide/steps/7-whole.yaml
"$DEADBUS" check "$whole" --json >"$json"
"$DEADBUS" state "$whole" --phase cruise --fail alternator=dead --json >"$DEADBUS_SCRATCH/state.json"
near() { # WHAT in the answer of check, WHAT in that of state, relative difference allowed
    jq -e -n --slurpfile c "$json" --slurpfile s "$DEADBUS_SCRATCH/state.json" \
        "(\$c[0] | $1) as \$x | (\$s[0] | $2) as \$y | (\$x - \$y) | fabs <= $3 * \$y and \$y > 0"
}
is "the load is what the battery gives" near .weights.amps .batteries.battery.amps 1e-9
is "an item weighs what it draws" \
    near '.weights.items[] | select(.part == "gps") | .amps' .equipment.gps.amps 1e-9
is "a field weighs what its switch carries" \
    near '.weights.items[] | select(.part == "alternator") | .amps' '.parts["alternator-switch"].amps' 0.01
is "the battery's own open figures are named" \
    jq -e '[.weights.batteries[].key] == ["resistance", "charge"]' "$json"
sed 's/1.5 A guess/1.5 A measured/' "$whole" >"$DEADBUS_SCRATCH/measured.yaml"
"$DEADBUS" check "$DEADBUS_SCRATCH/measured.yaml" --json >"$json"
is "what has been measured matters no more" jq -e 'all(.weights.items[]; .part != "gps")' "$json"

printf 'deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n  b: {batery: 24 V}\n' >"$DEADBUS_SCRATCH/bad.yaml"
ends "a file with an error ends with 1" 1 "$DEADBUS" check "$DEADBUS_SCRATCH/bad.yaml"
"$DEADBUS" check "$DEADBUS_SCRATCH/bad.yaml" --json >"$json" 2>/dev/null || true
is "its JSON holds the finding with line and column" \
    jq -e '(.right | not) and any(.findings[]; .severity == "error" and .line == 4 and .column > 0)' "$json"
is "the same file on standard input says the same" \
    cmp "$json" <("$DEADBUS" check - --json <"$DEADBUS_SCRATCH/bad.yaml" 2>/dev/null)
ends "other commands don't answer from it" 1 "$DEADBUS" show "$DEADBUS_SCRATCH/bad.yaml"
finish
