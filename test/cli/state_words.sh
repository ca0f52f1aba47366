# What a question changes is said back in the first lines of its answer, in the trade's words.
# shellcheck disable=SC1091,SC2154 # cases: of the file sourced
source test/cli/tap.bash

says() { # WORDS options... : just these, right after the phase
    local words=$1
    shift
    "$DEADBUS" state aircraft/bowline.yaml --phase cruise "$@" 2>&1 >"$DEADBUS_SCRATCH/answer"
    tr -s ' \n' ' ' <"$DEADBUS_SCRATCH/answer" >"$DEADBUS_SCRATCH/text"
    is "$words" grep -qF -- "Bowline 28 (BW-1), cruise. $words. " "$DEADBUS_SCRATCH/text"
}
says "Engine at 1200 rpm" --set engine=1200rpm
says "Engine windmilling" --set engine=windmilling
says "Engine stopped" --set engine=stopped
says "Airspeed 50 kt" --set airspeed=50kt
says "Throttle 15 %" --set throttle=15%
says "−10 °C" --temperature -10C
says "Batteries charged to 40 %" --charge 40%
says "In cloud" --set cloud=yes
says "Near the stall" --set stall-near=yes
says "Night" --set night=yes
says "Icing" --set icing=yes
says "On the ground" --set airborne=no
says "PANEL LIGHTS dimmer at 40 %" --set panel-dimmer=40%
says "Night; icing; 14 °C" --set night=yes --set icing=yes --temperature 57.2F

# What would be passed over in silence is refused, or told.
refuses() { # WORDS COMMAND options...
    local words=$1 status=0
    shift
    "$DEADBUS" "$1" aircraft/bowline.yaml "${@:2}" >/dev/null 2>"$DEADBUS_SCRATCH/refused" || status=$?
    is "$words" grep -qF -- "$words" "$DEADBUS_SCRATCH/refused"
    is "... and ends with 2" [ "$status" = 2 ]
}
refuses "'alternator' can't be dead and low at once" state --fail alternator=dead --fail alternator=low
refuses "--chart is a drawing, and --json is asked for, too" run lessons/silent-loss.yaml --chart --json
is "after the end of a run it is told where it ended" grep -qF "the run ends at 21:00" \
    <("$DEADBUS" state aircraft/bowline.yaml lessons/silent-loss.yaml --at 200min 2>&1 >/dev/null)

# A generator that turns but isn't excited gives what its iron holds: no amps of its rating.
reef() { "$DEADBUS" "$1" aircraft/reef.yaml --phase "$2" "${@:3}" 2>/dev/null | tr -s ' \n' ' '; }
for fail in generator=dead field-breaker=tripped; do
    how=$([ $fail = generator=dead ] && echo failed || echo "no field")
    is "$fail in the list of sources" \
        grep -q "generator 2\.0 0\.[0-9] [a-z ]*, residual volts only: nothing useful" \
        <(reef state cruise --fail $fail)
    is "$fail on the diagram" grep -qF ">$how, residual only<" <(reef draw cruise --fail $fail)
done
is "one that stands has none" [ -z "$(reef state parked | grep residual)" ]
is "nor has one that works" [ -z "$(reef state cruise | grep residual)" ]
finish
