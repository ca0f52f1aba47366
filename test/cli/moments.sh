# A moment of a scenario, asked for as a state: the same volts, amps and charge as the run has
# there, within what its steps may be off.
. "$(dirname "$0")/tap.bash"

# The last row up to a share of the run after which nothing happens at once.
row='.trace as $r | ($r.t | length - 1) as $last
    | [range(0; $last) | select($r.t[.] <= $share * $r.t[$last] and $r.t[. + 1] > $r.t[.] + 0.01)][-1]'

compare() { # AIRCRAFT LESSON SHARE
    local at
    at=$(jq --argjson share "$3" "$row as \$i | .trace.t[\$i]" "$DEADBUS_SCRATCH/log.json")
    "$DEADBUS" state "$1" "$2" --at "${at}s" --json >"$DEADBUS_SCRATCH/moment.json" 2>/dev/null || return 1
    jq -e --argjson share "$3" --slurpfile moment "$DEADBUS_SCRATCH/moment.json" "$row as \$i"'
        | $moment[0] as $m
        | [(.trace.nodes | to_entries[] | [.key, .value[$i], $m.nodes[.key].volts, 0.005]),
           (.trace.parts | to_entries[] | [.key, .value[$i], $m.parts[.key].amps, 0.05]),
           (.trace.batteries | to_entries[] | [.key, .value[$i], $m.batteries[.key].charge, 0.001])]
        | map(select(.[2] == null or (.[1] - .[2] | fabs) > .[3]))
        | if length == 0 then true else error("at " + ($m.sentence) + ": " + tojson) end
    ' "$DEADBUS_SCRATCH/log.json"
}

for lesson in lessons/*.yaml; do
    name=$(sed -n 's/^aircraft: //p' "$lesson" | cut -d' ' -f1 | tr '[:upper:]' '[:lower:]')
    "$DEADBUS" run "aircraft/$name.yaml" "$lesson" --json >"$DEADBUS_SCRATCH/log.json" 2>/dev/null
    for share in 0.2 0.5 0.9; do
        is "$lesson at $share of it" compare "aircraft/$name.yaml" "$lesson" "$share"
    done
done

B=aircraft/bowline.yaml L=lessons/silent-loss.yaml
why() { "$DEADBUS" state "$B" "$L" --at 45min --json | jq -e "$1"; }
is "what has failed is the cause" why '.equipment["com-1"].causes == ["alternator"]'
is "the drawing of a moment shows it" \
    grep -q "Battery discharging" <("$DEADBUS" draw "$B" "$L" --at 3min)
ends "a moment without a scenario" 2 "$DEADBUS" state "$B" --at 3min
ends "a scenario without a moment" 2 "$DEADBUS" draw "$B" "$L"
ends "what the scenario says itself" 2 "$DEADBUS" state "$B" "$L" --at 3min --phase taxi
ends "a scenario that isn't one" 1 "$DEADBUS" state "$B" "$B" --at 3min
is "findings stand in the scenario's file" \
    grep -q "^$B:[0-9]*:[0-9]*: error" <("$DEADBUS" state "$B" "$B" --at 3min 2>&1)

# A battery that has disconnected itself says so, with what it gave its current for, and holds what is
# tried to that. Two poles of one handle are one.
H=aircraft/halyard.yaml
O=lessons/left-on-overnight.yaml
dead() { # SCENARIO TIME ITEM: its reason
    "$DEADBUS" state "$H" "$1" --at "$2" --json | jq -r --arg item "$3" '.equipment[$item].reason'
}
own="battery has disconnected itself (battery charge below 5 %)"
is "what drained it is told while nothing else was done" \
    [ "$(dead "$O" 17300s ignition-b)" = "$own, because IGN B switch is on" ]
is "what was switched on since took nothing" [ "$(dead "$O" 43201s ignition-b)" = "$own" ]
cat >"$DEADBUS_SCRATCH/flat.yaml" <<'END'
scenario: 1
title: The alternator dies, and later the battery takes itself off line
start: {phase: cruise}
happens:
  - {at: 1 min, fail: {alternator: dead}}
ends: {at: 40 min}
END
is "with the source dead both are told" \
    [ "$(dead "$DEADBUS_SCRATCH/flat.yaml" 1700s com-1)" = "feed stud is dead, because alternator has failed, and $own: only both together do it" ]
is "the sentence tells of it" \
    grep -q "Battery off line" <("$DEADBUS" state "$H" "$DEADBUS_SCRATCH/flat.yaml" --at 1700s)
is "two poles of one handle are one" \
    [ "$("$DEADBUS" state "$H" --set battery-switch=off | grep -o "MASTER switch off" | wc -l)" = 1 ]
is "one that trips early isn't named twice" \
    sh -c '"$DEADBUS" state aircraft/bowline.yaml --fail com-1.breaker=trips-early --json | jq -e "[.equipment[].reason // \"\" | select(test(\"trips early.*opened by itself\"))] == []"'
finish
