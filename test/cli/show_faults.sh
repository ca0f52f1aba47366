# The faults of an aeroplane's parts are the same as text, as JSON and as a table, and `state` takes
# each of them.
# shellcheck disable=SC1091,SC2154 # cases: of the file sourced
source test/cli/tap.bash
cd "$DEADBUS_SCRATCH"
aircraft=$OLDPWD/aircraft

for id in bowline clove; do
    file=$aircraft/$id.yaml
    "$DEADBUS" show "$file" --faults 2>/dev/null >text
    "$DEADBUS" show "$file" --faults --json 2>/dev/null >json
    "$DEADBUS" show "$file" --faults --csv 2>/dev/null | tr -d '\r' >csv
    jq -r '.faults | to_entries[] | .key as $id | .value[] | "\($id) \(.)"' json | sort >from-json
    awk -F, 'NR > 1 { print $1, $3 }' csv | sort >from-csv
    # A name that is too long for its column pushes the rest; words that wrap stand under their own.
    awk 'NR > 2 && /^  [a-z]/ { id = $1; $1 = $2 = ""; words = $0 }
        NR > 2 && /^   / { words = $0 }
        NR > 2 { n = split(words, w, /[, ]+/); for (i = 1; i <= n; i++) if (w[i] != "") print id, w[i] }' \
        text | sort >from-text
    is "$id: there are hundreds" test "$(wc -l <from-json)" -gt 200
    is "$id: the table says the same as JSON" diff from-json from-csv
    is "$id: the text says the same as JSON" diff from-json from-text
    is "$id: the table starts with its head" test "$(head -n 1 csv)" = "id,kind,fault"
done

# Every tenth is enough here; other tests go through them all.
taken() {
    local id word
    while read -r id word; do
        "$DEADBUS" state "$aircraft/clove.yaml" --fail "$id=$word" >/dev/null || return 1
    done < <(awk 'NR % 10 == 0' from-json)
}
is "state takes them" taken
finish
