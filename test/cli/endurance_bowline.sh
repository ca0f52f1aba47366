# How long it lasts, in every form. Compared with the .out file: read it as a pilot would.
"$DEADBUS" endurance aircraft/bowline.yaml --phase cruise
echo
"$DEADBUS" endurance aircraft/bowline.yaml --phase night-cruise --temperature -10C --charge 70% \
    --keep communication --noticed 2min --shed strobes.switch=off --shed nav-2=off --within 90min |
    head -n 20
echo
"$DEADBUS" endurance aircraft/bowline.yaml --json | sed -n '1p;5,$p' | cut -c -400
echo
ask() {
    printf '$ deadbus endurance bowline'
    printf ' %s' "$@"
    printf '\n'
    local status=0
    "$DEADBUS" endurance aircraft/bowline.yaml "$@" </dev/null || status=$?
    printf '[%s]\n\n' "$status"
}
ask --keep comunication
ask --keep communication --keep communication
ask --shed night=yes
ask --shed gps=UP
ask --noticed 5
ask --within 0s
ask --before-trip
