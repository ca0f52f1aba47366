# Wrong questions: what is said, and the exit status. Compared with usage.out.
cd "$DEADBUS_SCRATCH"
printf 'deadbus: 1\n' >aeroplane.yaml

ask() {
    printf '$ deadbus'
    [ $# -eq 0 ] || printf ' %s' "$@"
    printf '\n'
    local status=0
    "$DEADBUS" "$@" </dev/null || status=$?
    printf '[%s]\n\n' "$status"
}

# nothing, or nothing known
ask
ask stat aeroplane.yaml
ask xyzzy
ask --json check
ask help stat
ask check
ask state --phase cruise

# options
ask state aeroplane.yaml --phaze cruise
ask state --phaze cruise aeroplane.yaml
ask state aeroplane.yaml -phase cruise
ask state aeroplane.yaml --frobnicate
ask check aeroplane.yaml --faults
ask state aeroplane.yaml --phase
ask state aeroplane.yaml --phase --json
ask state aeroplane.yaml --phase=
ask state aeroplane.yaml --json=yes
ask state aeroplane.yaml --phase cruise --phase climb
ask state aeroplane.yaml --json --json
ask show aeroplane.yaml --json --csv
ask draw aeroplane.yaml -o

# values
ask state aeroplane.yaml --set flap-switch
ask state aeroplane.yaml --set =UP
ask state aeroplane.yaml --set flap-switch=
ask state aeroplane.yaml --set a=on --set a=off
ask state aeroplane.yaml --set a=on --set a=on
ask state aeroplane.yaml --fail alternator
ask state aeroplane.yaml --fail a=dead --fail a=dead
ask state aeroplane.yaml --fail a=x --fail b=x --fail c=x --fail d=x --fail e=x --fail f=x \
    --fail g=x --fail h=x --fail i=x
ask state aeroplane.yaml --charge 80
ask state aeroplane.yaml --charge 180%
ask state aeroplane.yaml --charge much
ask state aeroplane.yaml --temperature -10
ask state aeroplane.yaml --temperature -100C
ask draw aeroplane.yaml --width 12.5
ask draw aeroplane.yaml --width 100000
ask draw aeroplane.yaml --theme pink

# several mistakes are all told
ask state aeroplane.yaml --phaze cruise --charge x --theme dark --set a

# files
ask check nowhere.yaml
ask check nowhere/aeroplane.yaml
ask check .
ask check aeroplane.yaml other.yaml
ask check -- --phase
ask schema aeroplane.yaml
ask draw aeroplane.yaml -o ./aeroplane.yaml
[ "$(cat aeroplane.yaml)" = "deadbus: 1" ] && echo "the aircraft file is untouched"
