# Every lesson on its aeroplane. Compared with the .out file, which was read through for belief.
for lesson in lessons/*.yaml; do
    name=$(sed -n 's/^aircraft: //p' "$lesson" | cut -d' ' -f1 | tr '[:upper:]' '[:lower:]')
    echo "==== $lesson on $name"
    "$DEADBUS" run "aircraft/$name.yaml" "$lesson" 2>/dev/null
    "$DEADBUS" run "aircraft/$name.yaml" "$lesson" --json >"$DEADBUS_SCRATCH/log.json" 2>/dev/null
    grep -q '"what":"end"' "$DEADBUS_SCRATCH/log.json"
    "$DEADBUS" run "aircraft/$name.yaml" "$lesson" --chart --width 390 2>/dev/null | tail -n 1 | grep -q '</svg>'
done
