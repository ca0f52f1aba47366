# The map of the first aeroplane in every form. Compared with the .out file.
"$DEADBUS" show aircraft/bowline.yaml
echo
"$DEADBUS" show aircraft/bowline.yaml --csv | head -n 12
echo
"$DEADBUS" show aircraft/bowline.yaml --json | head -n 12
echo
"$DEADBUS" show aircraft/bowline.yaml --faults | head -n 24
echo
"$DEADBUS" show aircraft/bowline.yaml --faults --csv | head -n 6
"$DEADBUS" show aircraft/bowline.yaml --faults --json | head -n 4
