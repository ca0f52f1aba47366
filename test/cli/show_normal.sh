# What is normal in each phase, and what was read by hand. Compared with the .out file.
"$DEADBUS" show aircraft/bowline.yaml --normal
"$DEADBUS" show aircraft/bowline.yaml --normal --csv | head -n 12
"$DEADBUS" show aircraft/bowline.yaml --normal --json | head -n 5 | cut -c -400
sed 's/voltmeter: 28.0 V measured/voltmeter: 26.5 V measured/' aircraft/bowline.yaml \
    >"$DEADBUS_SCRATCH/other.yaml"
status=0
(cd "$DEADBUS_SCRATCH" && "$DEADBUS" show other.yaml --normal >said) || status=$?
grep -A 3 DIFFERS "$DEADBUS_SCRATCH/said"
printf '[%s]\n' "$status"
"$DEADBUS" show aircraft/bowline.yaml --normal --faults || printf '[%s]\n' "$?"
