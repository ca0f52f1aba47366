# A scenario in every form; mistakes in the question and in the scenario. Compared with the .out file.
short=test/case/short-scenario.yaml
"$DEADBUS" run aircraft/reef.yaml $short
echo
"$DEADBUS" run aircraft/reef.yaml $short --csv | sed -n '1,4p;$p'
"$DEADBUS" run aircraft/reef.yaml $short --json | head -c 1500
echo
ask() {
    printf '$ deadbus'
    printf ' %s' "$@"
    printf '\n'
    local status=0
    "$DEADBUS" "$@" </dev/null || status=$?
    printf '[%s]\n\n' "$status"
}
ask run
ask run aircraft/reef.yaml
ask run aircraft/reef.yaml nowhere.yaml
ask run aircraft/reef.yaml $short $short
ask run aircraft/reef.yaml aircraft/reef.yaml
ask run $short aircraft/reef.yaml
ask run aircraft/reef.yaml test/case/bad-scenario/many-mistakes.yaml
ask run aircraft/reef.yaml $short --json --csv
ask run aircraft/reef.yaml $short -o $short
ask show aircraft/reef.yaml $short
ask schema --scenario -o /dev/null
