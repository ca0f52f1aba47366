# What `endurance` and `shed` must not leave unsaid: what hands take of what must stay, what is never
# done in flight, which sources go on, what the weather asks for, what is left without data; options
# that say nothing, file names that promise another form, and where in the file a finding stands.
# "Never in flight" and what night, cloud and icing ask for: common practice, no source.
# shellcheck disable=SC1091,SC2154 # cases: of the file sourced
source test/cli/tap.bash
source test/cli/told.bash

B=aircraft/bowline.yaml
C=aircraft/clove.yaml


# ---- shed as a table
steps_of() { # options... : "strobes.switch=off strobes" a line, of both forms
    "$DEADBUS" shed "$@" --json 2>/dev/null >"$DEADBUS_SCRATCH/answer.json" || true
    "$DEADBUS" shed "$@" --csv 2>/dev/null >"$DEADBUS_SCRATCH/table.csv" || true
    node -p "
        const a = JSON.parse(require('fs').readFileSync('$DEADBUS_SCRATCH/answer.json'));
        a.steps.map((s, i) => [i + 1, s.do, s.saves_amps, s.loses.join(' '),
            s.last_spare_of.join(' '), s.off.join(' '), ''].join(',')).join('\n')" \
        >"$DEADBUS_SCRATCH/from-json"
    sed -n 's/\r$//; /^[0-9]/p' "$DEADBUS_SCRATCH/table.csv" >"$DEADBUS_SCRATCH/from-csv"
}
for asked in "$B --need 45min" "aircraft/sheetbend.yaml --need 45min"; do
    # shellcheck disable=SC2086 # words
    steps_of $asked
    is "$asked: the table has the steps" diff "$DEADBUS_SCRATCH/from-json" "$DEADBUS_SCRATCH/from-csv"
    is "and at least three" test "$(wc -l <"$DEADBUS_SCRATCH/from-csv")" -ge 3
    is "and no minutes are promised" grep -q "No minutes are promised" "$DEADBUS_SCRATCH/table.csv"
done
is "what can't be done is said in it" grep -q "can't be made to last" "$DEADBUS_SCRATCH/table.csv"
ends "and ends with 1" 1 "$DEADBUS" shed aircraft/sheetbend.yaml --need 45min --csv

# ---- what hands take
says "the battery switch takes communication" \
    "Reduced by hand at 5:00, though it must stay: communication." \
    endurance $B --shed battery-switch=off
unsaid "and nobody says that nothing is lost" "of what must stay nothing is reduced or lost"
says "it is never done in flight" "Never in flight: what is switched here puts a battery off the line" \
    endurance $B --shed battery-switch=off
says "both radios by their own switches" "Reduced by hand at 2:00, though it must stay: communication." \
    endurance $B --noticed 2min --shed com-1=off --shed com-2=off
unsaid "is no matter of the battery" "Never in flight"
sed 's/partly-by: .com-1, handheld./partly-by: com-1/' $B >"$DEADBUS_SCRATCH/fixed.yaml"
says "without a handheld it is gone" "Switched off by hand at 5:00, though it must stay: communication." \
    endurance "$DEADBUS_SCRATCH/fixed.yaml" --shed com-1=off --shed com-2=off
says "a key at OFF stops the engine" "Switched off by hand at 5:00, though it must stay: power." \
    endurance $B --shed key=OFF
says "which is never done either" "takes what feeds the engine or makes a supply" \
    endurance $B --shed key=OFF
says "radios with one hand in cloud" "silences several radios with one hand in cloud" \
    endurance $B --phase night-cruise --set cloud=yes --shed avionics-master=OFF
says "out of cloud the master is no such thing" "Reduced by hand" \
    endurance $B --phase night-cruise --noticed 1min --shed avionics-master=OFF
unsaid "and no caution" "Never in flight"
says "a source that works" "stops a source that works" \
    endurance $C --fail left-alternator=dead --shed right-alternator-switch=off
says "on the ground a battery may go off" "Switched off by hand" \
    endurance $B --phase taxi --shed battery-switch=off
unsaid "without a caution" "Never in flight"
says "what takes nothing isn't blamed" "is the first of what must stay" \
    endurance $B --shed strobes.switch=off
says "what is gone before hands come to it isn't theirs" \
    "communication is the first of what must stay to be reduced or lost, after 11 min" \
    endurance $B --noticed 30min --shed com-1=off --shed com-2=off --shed gps=off
unsaid "nor told as theirs" "though it must stay"
holds "and has its own time" "a.items.gps.low < 1800 && !a.shed.includes('gps') &&
    a.shed_functions.length === 0 &&
    a.functions.gps.low < 1800 && a.must_stay.by_hand.length === 0" \
    endurance $B --noticed 30min --shed com-1=off --shed com-2=off --shed gps=off
holds "for programs: when hands take it" \
    "a.must_stay.first === 'communication' && a.must_stay.lasts.low === 300 &&
     a.must_stay.by_hand.join() === 'communication' && a.reduced.communication.high === 300 &&
     a.never_in_flight.join() === 'battery off the line'" \
    endurance $B --shed battery-switch=off
holds "for programs: what hands take besides" \
    "a.shed_functions.includes('gps') && a.functions.gps.low === 300 &&
     a.must_stay.by_hand.length === 0 && a.never_in_flight.length === 0" \
    endurance $B --shed gps=off

# ---- a radio that can only be listened to
says "a radio that can't transmit is weak, and why" \
    "com 1 22.6 V, com 2 22.6 V: it receives, but has too few volts to transmit: alternator has failed" \
    state $B --fail alternator=dead --charge 10%
says "and gives communication no more than in part" \
    "reduced communication (com 1, audio panel, com 2, handheld)." \
    state $B --fail alternator=dead --charge 10%
says "endurance counts from there" \
    "communication is the first of what must stay to be reduced or lost, after 11 min" endurance $B
says "shed from the same moment" \
    "low case 11 min until communication is reduced or lost" shed $B --need 45min

# ---- which sources are lost
says "no source is lost" "No source is lost; goes on: alternator." \
    endurance $B --fail flap-breaker=tripped
says "a battery that is charged gives nothing" "the batteries are charged with" \
    endurance $C --fail left-alternator=dead
unsaid "less than nothing" "give -"
unsaid "less than nothing, with a real minus" "give −"
says "one of two" "Source lost: left alternator; goes on: right alternator." \
    endurance $C --fail left-alternator=dead
says "by its field breaker" "Source lost: alternator; none goes on." \
    endurance $B --fail field-breaker=tripped
says "shed: no source is lost" "No source is lost; goes on: alternator." \
    shed $B --need 30min --fail flap-breaker=tripped
unsaid "shed doesn't say that one is" "the source is lost"
says "shed: all are" "Source lost: alternator; none goes on." shed $B --need 30min
holds "for programs" "a.sources_lost.join() === 'left-alternator' &&
    a.sources_go_on.join() === 'right-alternator'" \
    endurance $C --fail left-alternator=dead
holds "shed, for programs" "a.sources_lost.length === 0 && a.sources_go_on.join() === 'alternator'" \
    shed $B --need 30min --fail flap-breaker=tripped

# ---- what the weather asks for
for command in "shed $B --need 30min" "endurance $B"; do
    # shellcheck disable=SC2086 # several words
    says "icing: ${command%% *}" "icing asks for pitot-heat, and that isn't switched on in cruise. \
Write --set pitot-heat.switch=on, or --phase night-cruise, in which it is on" $command --set icing=yes
    # shellcheck disable=SC2086
    ends "icing is refused: ${command%% *}" 2 "$DEADBUS" $command --set icing=yes
    # shellcheck disable=SC2086
    says "night: ${command%% *}" "Write --set nav-lights.switch=on" $command --set night=yes
    # shellcheck disable=SC2086
    says "lights by a dimmer: ${command%% *}" "Write --set panel-dimmer=100%" $command --set night=yes
    # shellcheck disable=SC2086
    says "put off by the question: ${command%% *}" "Icing asks for pitot heat, which isn't on here" \
        $command --set icing=yes --set pitot-heat=off
done
says "airspeed that ices isn't passed over" "airspeed (not there to begin with)" \
    shed $B --need 30min --set icing=yes --set pitot-heat=off
says "a dark phase of the file is told" "Night asks for panel light, which isn't on in this phase" \
    endurance aircraft/halyard.yaml --phase master-off
says "a master is no switch for pitot heat" "Write --phase take-off, in which it is on" \
    endurance aircraft/sheetbend.yaml --phase alternate-feed-cruise --set icing=yes
holds "what icing asks for counts" "a.must_stay.functions.includes('pitot-heat') &&
    a.must_stay.lasts.low < 15 * 60" \
    endurance $B --set icing=yes --set pitot-heat.switch=on
ends "on the ground nothing is asked for" 0 "$DEADBUS" endurance $B --phase taxi --set icing=yes

# ---- what is left without data goes with the box that it needs, by seconds
holds "without data" "a.without_data.includes('main-volts') &&
    Math.abs(a.items['main-volts'].low - a.items['engine-unit'].low) < 30 &&
    a.items['main-volts'].low > 600" \
    endurance aircraft/sheetbend.yaml
says "said" "main volts (no data)" endurance aircraft/sheetbend.yaml

# ---- options that say nothing, names that promise another form
says "a seed of no flights" "--seed says nothing without --flights" endurance $B --seed 3
says "noticed, and nothing done" "--noticed says nothing without --shed" endurance $B --noticed 3min
says "colors of no chart" "--theme says nothing without --chart" \
    run $B lessons/silent-loss.yaml --theme dark
says "the width of no chart" "--width says nothing without --chart" \
    run $B lessons/silent-loss.yaml --width 500
ends "no PNG" 2 "$DEADBUS" draw $B -o "$DEADBUS_SCRATCH/a.png"
is "and no file of that name" test ! -e "$DEADBUS_SCRATCH/a.png"
says "what to write instead" "Give -o a name that ends with .svg or .pdf" \
    draw $B -o "$DEADBUS_SCRATCH/a.png"
ends "no document of another kind" 2 "$DEADBUS" card $B -o "$DEADBUS_SCRATCH/a.docx"
ends "no text under JSON's name" 2 "$DEADBUS" card $B -o "$DEADBUS_SCRATCH/a.json"
ends "JSON under its own" 0 "$DEADBUS" card $B --json -o "$DEADBUS_SCRATCH/a.json"
ends "a folder with a dot" 0 env mkdir "$DEADBUS_SCRATCH/a.b"
ends "is no ending" 0 "$DEADBUS" draw $B -o "$DEADBUS_SCRATCH/a.b/drawing"
# Without the packages for it the program says so, and writes nothing.
if "$DEADBUS" draw $B -o "$DEADBUS_SCRATCH/a.pdf" 2>"$DEADBUS_SCRATCH/no-pdf"; then
    is "a diagram as PDF is one" bash -c '[ "$(head -c 5 "$1")" = %PDF- ]' _ "$DEADBUS_SCRATCH/a.pdf"
else
    is "no PDF, and no file" test ! -e "$DEADBUS_SCRATCH/a.pdf"
fi

# ---- where a finding of the solver stands
cat >"$DEADBUS_SCRATCH/opens.yaml" <<'END'
deadbus: 1
aircraft: {nominal: 28 V}
parts:
  battery: {battery: 24 V}
  bus:     {bus: BUS, from: battery}
  main:    {breaker: 10 A, from: bus, label: MAIN}
  heater:  {heater: 20 A, from: main}
phases:
  only: {}
END
says "the file stands before its line" "opens.yaml:9:3: warning: in phase only main opens by itself" \
    state "$DEADBUS_SCRATCH/opens.yaml"
unsaid "and the command doesn't" "deadbus state:9"
finish
