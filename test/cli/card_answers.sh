# Cards in every form: well formed, black on white, the cautions on them; names are data.
. "$(dirname "$0")/tap.bash"
root=$PWD
cd "$DEADBUS_SCRATCH"
cp "$root"/aircraft/*.yaml "$root"/test/case/card/hostile.yaml .

flat() { tr -s '\n ' ' ' <"$1"; }
for name in bowline clove hostile; do
    "$DEADBUS" card $name.yaml >$name.txt
    "$DEADBUS" card $name.yaml --json >$name.json
    is "$name: the text has the caution" grep -q "approved handbook" <(flat $name.txt)
    is "$name: no line of the text is wider than a terminal" \
        [ "$name" = hostile -o -z "$(grep -E '^.{90}' $name.txt)" ]
    is "$name: the JSON is JSON" jq -e .caution $name.json
    for paper in a5 half-letter a4 letter; do
        "$DEADBUS" card $name.yaml --paper $paper -o $name-$paper.svg 2>$name-$paper.said
        "$DEADBUS" card $name.yaml --paper $paper -o $name-$paper.html 2>/dev/null
        is "$name $paper: the SVG is XML" xmllint --noout --nonet $name-$paper.svg
        is "$name $paper: the caution is on it" grep -q "handbook" <(sed 's/<[^>]*>/ /g' $name-$paper.svg)
        is "$name $paper: neither red nor grey" \
            [ -z "$(grep -oE '#[0-9a-fA-F]{3,6}\b' $name-$paper.svg | grep -vE '#(000000|ffffff|[0-9]+)$')" ]
        is "$name $paper: no script, nothing from elsewhere" \
            [ -z "$(grep -iE '<(script|img|link|iframe|object)|src=|href="?[^"#]|url\((.?https?|[^#])| on[a-z]+=' \
                <(sed 's/&lt;[^&]*&gt;//g' $name-$paper.html) | grep -v 'alert(')" ]
        is "$name $paper: the drawing stands in the page as it is" \
            [ "$(sed -n '/<svg /,/<\/svg>/p' $name-$paper.html)" = "$(cat $name-$paper.svg)" ]
        is "$name $paper: what is left out is told in both places" \
            [ "$(grep -c 'Left out for want of room' $name-$paper.svg)" -gt 0 -o -z \
                "$(grep 'left out for want of room: ' $name-$paper.said)" ]
    done
done
is "markup in names is text" [ -z "$(grep -iE '<(script|img|b>|i>)' hostile-a5.html hostile-a4.svg)" ]
is "no mark turns the text round" [ -z "$(grep -P '[\x{202A}-\x{202E}\x{2066}-\x{2069}]' hostile-a5.svg hostile-a5.html)" ]
is "A5 stands on A4, on its side" grep -q '@page{size:297mm 210mm;margin:0}' bowline-a5.html
is "half letter stands on Letter" grep -q '@page{size:279.4mm 215.9mm;margin:0}' bowline-half-letter.html
is "the card has the file's revision" \
    grep -q "$(jq -r .file bowline.json)" <(sed 's/<[^>]*>//g' bowline-a5.svg)

# The card says what the other commands say.
for phase in parked start cruise; do
    reading=$("$DEADBUS" state bowline.yaml --phase $phase --json | jq -r '.indications.ammeter.reading | sub(" A$"; "")')
    card=$(jq -r --arg p $phase '.normal[] | select(.phase | split(", ") | index($p)) | .readings.ammeter' bowline.json)
    is "$phase: the ammeter reads as in state" [ "$reading" = "$card" ]
done
sources=(--fail battery=dead --fail alternator=dead)
kept=$("$DEADBUS" state bowline.yaml --phase cruise "${sources[@]}" --json |
    jq -r '[.functions | to_entries[] | select(.value.status != "lost") | .key | gsub("-"; " ")] | sort | join(",")')
told=$(jq -r '.works_with_everything_dead | sub("\\.$"; "") | gsub(" \\([^)]*\\)"; "") | split(", ") | sort | join(",")' bowline.json)
is "what works with everything dead is what state keeps" [ "$kept" = "$told" ]
# minutes NAME: what the study leads with, in the low case, upwards
minutes() { "$DEADBUS" endurance "$root/aircraft/$1.yaml" --phase cruise --json 2>/dev/null | jq ".must_stay.lasts.low / 60 | floor + 1"; }
lasts() {
    local said
    said=$("$DEADBUS" card "$root/aircraft/$1.yaml" --json 2>/dev/null | jq -c .endurance)
    [ "$(jq .less_than_minutes <<<"$said")" = "$(minutes "$1")" ]
}
for plane in bowline clove halyard reef sheetbend; do
    is "how long $plane lasts is the low case of the study" lasts "$plane"
done
is "it is no promise" grep -q "is [a-z]* in less than [0-9]* min, low case, if the battery passed" <(flat bowline.txt)

# Words and ends.
ends "a form that there isn't" 2 "$DEADBUS" card bowline.yaml --form png
ends "a paper that there isn't" 2 "$DEADBUS" card bowline.yaml --paper a3
ends "two forms" 2 "$DEADBUS" card bowline.yaml --form svg --json
ends "a form belongs to card" 2 "$DEADBUS" state bowline.yaml --form svg
is "a form may be given without a name" \
    [ "$("$DEADBUS" card bowline.yaml --form svg | head -c 4)" = "<svg" ]
is "the form given goes before the name's" \
    [ "$("$DEADBUS" card bowline.yaml --form=svg -o x.html && head -c 4 x.html)" = "<svg" ]

# PDF, where the program is built with it; else a refusal that says what to do.
if "$DEADBUS" card bowline.yaml --form pdf >bowline.pdf 2>pdf.said; then
    is "it is a PDF" [ "$(head -c 5 bowline.pdf)" = "%PDF-" ]
    is "the name alone asks for it" "$DEADBUS" card bowline.yaml -o named.pdf
    is "the same bytes each time" cmp bowline.pdf named.pdf
    is "hostile names give a PDF too" "$DEADBUS" card hostile.yaml --form=pdf -o hostile.pdf
    ends "a folder that isn't there" 3 "$DEADBUS" card bowline.yaml -o nowhere/x.pdf
else
    is "without PDF it says what to do" grep -q "librsvg2-dev" pdf.said
    ends "and fails" 3 "$DEADBUS" card bowline.yaml -o x.pdf
fi
finish
