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
    is "$name: fits a terminal" [ "$(wc -L <"$page")" -le 80 ]
done

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

printf 'deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n  b: {batery: 24 V}\n' >"$DEADBUS_SCRATCH/bad.yaml"
ends "a file with an error ends with 1" 1 "$DEADBUS" check "$DEADBUS_SCRATCH/bad.yaml"
"$DEADBUS" check "$DEADBUS_SCRATCH/bad.yaml" --json >"$json" 2>/dev/null || true
is "its JSON holds the finding with line and column" \
    jq -e '(.right | not) and any(.findings[]; .severity == "error" and .line == 4 and .column > 0)' "$json"
is "the same file on standard input says the same" \
    cmp "$json" <("$DEADBUS" check - --json <"$DEADBUS_SCRATCH/bad.yaml" 2>/dev/null)
ends "other commands don't answer from it" 1 "$DEADBUS" show "$DEADBUS_SCRATCH/bad.yaml"
finish
