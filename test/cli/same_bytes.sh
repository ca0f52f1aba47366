# The same question has the same bytes as its answer: again, with nothing in the environment, from
# another folder, and in a locale that writes a comma where numbers have a point.
# shellcheck disable=SC1091,SC2154 # cases: of the file sourced
source test/cli/tap.bash
here=$PWD

# A comma locale of our own: not every machine has one installed.
mkdir "$DEADBUS_SCRATCH/locales"
comma=
if localedef -i de_DE -f UTF-8 "$DEADBUS_SCRATCH/locales/de_DE.UTF-8" 2>/dev/null; then
    comma=de_DE.UTF-8
    export LOCPATH=$DEADBUS_SCRATCH/locales
else
    comma=$(locale -a 2>/dev/null | grep -E '^(de|fr|es|it|nl|pl|sv)_' | head -n 1) || comma=
fi
[ -n "$comma" ] || echo "# no locale with a comma here; left out"

same() { # NAME, the words of the question
    local name=$1 status=0 folder=$DEADBUS_SCRATCH/$cases
    shift
    mkdir "$folder"
    answer first "$DEADBUS" "$@"
    answer again "$DEADBUS" "$@"
    answer bare env -i "$DEADBUS" "$@"
    answer elsewhere env -i TZ=Asia/Kathmandu HOME=/nonexistent LANG=tr_TR.UTF-8 COLUMNS=40 \
        TERM=xterm-256color NO_COLOR=1 "$DEADBUS" "$@"
    [ -z "$comma" ] || answer comma env LC_ALL="$comma" "$DEADBUS" "$@"
    [ -s "$folder/first" ] || status=1
    local other
    for other in again bare elsewhere ${comma:+comma}; do
        cmp "$folder/first" "$folder/$other" || status=1
    done
    tell "$status" "$name"
}

answer() { # RUN command... : output, messages and exit status, in $folder/RUN
    local run=$1 ended=0
    shift
    "$@" >"$folder/$run" 2>"$folder/messages" || ended=$?
    cat "$folder/messages" >>"$folder/$run"
    echo "exit $ended" >>"$folder/$run"
}

for file in aircraft/*.yaml; do
    id=$(basename "$file" .yaml)
    same "check $id" check "$file"
    same "show $id" show "$file"
    same "show $id as CSV" show "$file" --csv
    same "state $id" state "$file"
    same "state $id as JSON" state "$file" --json
    same "draw $id" draw "$file" --width 794 --theme print
done
same "a failure" state aircraft/bowline.yaml --phase night-cruise --fail pitot-heat=short
same "two failures" state aircraft/clove.yaml --fail left-bus=short --fail right-alternator=low --json
same "figures with points" state aircraft/bowline.yaml --charge 37.5% --temperature -10.5C --json
same "a figure with a comma is refused" state aircraft/bowline.yaml --charge 37,5%
same "mistakes in a file" check test/case/bad/many-mistakes.yaml
same "the schema" schema
same "help" --help

# The file's name is said as it was given; the rest doesn't depend on the folder.
(cd "$DEADBUS_SCRATCH" && cp "$here/aircraft/bowline.yaml" . && "$DEADBUS" state bowline.yaml) \
    >"$DEADBUS_SCRATCH/there"
cp aircraft/bowline.yaml "$DEADBUS_SCRATCH/bowline.yaml"
"$DEADBUS" state "$DEADBUS_SCRATCH/bowline.yaml" >"$DEADBUS_SCRATCH/here"
is "the folder doesn't matter" cmp "$DEADBUS_SCRATCH/there" "$DEADBUS_SCRATCH/here"
finish
