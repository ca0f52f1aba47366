# A question in JSON gets what the words of the command line get, with the findings beside it.
# shellcheck disable=SC1091,SC2154 # cases: of the file sourced
source test/cli/tap.bash
aircraft=aircraft/bowline.yaml
one=$DEADBUS_SCRATCH/one.json

asks() { # QUESTION [FILE]
    "$DEADBUS" ask "${2:-$aircraft}" --question "$1" >"$one" 2>/dev/null
}
answers() { # JQ-OPTIONS words of the command line
    local options=$1
    shift
    cmp <("$DEADBUS" "$@") <(jq "$options" .answer "$one")
}

asks '{"ask":"state","phase":"cruise","set":{"key":"BOTH"},"fail":["alternator=dead"],"charge":"80%"}'
words=(state "$aircraft" --phase cruise --set key=BOTH --fail alternator=dead --charge 80% --json)
is "a state by words and by JSON" cmp <("$DEADBUS" "${words[@]}" | jq -S .) <(jq -S .answer "$one")
is "with the same bytes" grep -qF -- "$("$DEADBUS" "${words[@]}" | sed -n 2,4p)" "$one"
is "a false option is none" asks '{"ask":"state","before-trip":false}'
asks '{"ask":"draw","theme":"print"}'
is "a drawing is one string" answers -j draw "$aircraft" --theme print
asks '{"ask":"show","csv":true}'
is "so is a table" answers -j show "$aircraft" --csv
asks '{"ask":"schema"}'
is "what needs no file" answers -j schema

for wrong in '{"ask":"ask"}' '[1]' '{"phase":"cruise"}' '{"ask":' 'state' '{"ask":{"a":"b"}}' \
    '{"ask":"state","fail":[["x"]]}' '{"ask":"stat"}' '{"ask":"state","widht":"3"}' \
    '{"ask":"state","phase":"cruize"}' ''; do
    ends "refused: $wrong" 2 asks "$wrong"
done
asks '{"ask":"state","phase":"cruize"}' || true
is "why is a finding" [ "$(jq -r '.exit, .findings[0].code' "$one" | tr '\n' ' ')" = "2 unknown-phase " ]

bad=test/case/bad/unit-missing.yaml
ends "a file with errors" 1 asks '{"ask":"check"}' $bad
is "has them with their places" [ "$(jq -r '.findings[0] | "\(.line):\(.column) \(.code)"' "$one")" = \
    "$("$DEADBUS" check $bad --json 2>/dev/null |
        jq -r '.findings[0] | "\(.line):\(.column) \(.code)"')" ]
finish
