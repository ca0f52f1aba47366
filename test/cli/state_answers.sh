# The answer to a state says the same in text and in JSON, and has what the contract promises.
fail() {
    printf 'not ok: %s\n' "$1"
    exit 1
}
out=$DEADBUS_SCRATCH/out.txt json=$DEADBUS_SCRATCH/out.json

both() {
    "$DEADBUS" state aircraft/bowline.yaml "$@" >"$out"
    "$DEADBUS" state aircraft/bowline.yaml "$@" --json >"$json"
    # Lines are wrapped in the text only.
    tr -s ' \n' ' ' <"$out" >"$out.line"
    local sentence
    sentence=$(sed -n 's/^"sentence":"\(.*\)",$/\1/p' "$json")
    [ -n "$sentence" ] || fail "no sentence"
    grep -qF "$sentence" "$out.line" || fail "the text has another sentence than: $sentence"
    # `come first` stands in every answer, and no line is wider than a terminal.
    grep -q 'come first' "$out.line" || fail "no caution in the text"
    grep -q 'come first' "$json" || fail "no caution in the JSON"
    local key
    for key in phase settled nodes parts equipment functions indications batteries sources basis; do
        grep -q "\"$key\":" "$json" || fail "no key $key"
    done
    [ "$(wc -L <"$out")" -le 80 ] || fail "a line of more than 80 columns"
}

both
both --phase night-cruise
both --fail alternator=dead
both --set battery-switch=off
grep -qF 'BAT switch off takes ALT switch off with it.' "$out" || fail "the rocker isn't told"
grep -qF 'BAT switch off takes ALT switch off with it.' "$json" || fail "the rocker isn't told"
both --set key=START
grep -qF 'it springs back to BOTH' "$out.line" || fail "the spring isn't told"
both --phase night-cruise --fail pitot-heat=short
grep -qF 'PITOT HT breaker, 10 A, row 1 no 4. It stays out.' "$out.line" || fail "no reset is offered"
grep -qF "Arcing isn't modelled" "$out.line" || fail "wire heating without its caution"
grep -qF 'Smoke, a smell, heat or noise' "$out.line" || fail "smoke doesn't override"
grep -qF '"trips":["pitot-heat.breaker"]' "$json" || fail "the breaker isn't in trips"
both --phase night-cruise --fail pitot-heat=short --before-trip
grep -qF 'no breaker has opened yet' "$out.line" || fail "the first instant isn't named"
grep -qF '"trips":[]' "$json" || fail "a breaker opened before the trip"
both --fail alternator-switch=resistive --fail field-breaker=tripped
# Volts carry at least nine significant digits.
grep -qE '"main-bus":\{"volts":[0-9]{2}\.[0-9]{7,}\}' "$json" || fail "too few digits"
echo ok
