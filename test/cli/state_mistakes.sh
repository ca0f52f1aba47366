# Wrong words of a question about a state: what is said, the exit status. Compared with the .out file.
ask() {
    printf '$ deadbus state bowline'
    printf ' %s' "$@"
    printf '\n'
    local status=0
    "$DEADBUS" state aircraft/bowline.yaml "$@" </dev/null || status=$?
    printf '[%s]\n\n' "$status"
}

ask --phase criuse
ask --phase holding
ask --set batery-switch=off
ask --set icng=yes
ask --set icing=maybe
ask --set throttle=much
ask --set battery-switch=down
ask --set key=UP
ask --set panel-dimmer=2
ask --set engine=fast
ask --set battery-switch=off --set alternator-switch=on
ask --set turn-coordinator=off
ask --set map-light=on
ask --set oil-switch=on
ask --set main-bus=off
ask --fail flap-breakr=tripped
ask --fail alternator=broken
ask --fail main-bus=shrot
ask --set alternator=dead
ask --set battery-switch=stuck-open
ask --fail battery-switch=off
ask alternator=dead
# all of them are told
ask --phase criuse --set icng=yes --fail main-bus=shrot
