# The version, the manual page and the completions are well formed, and are those of this program.
. "$(dirname "$0")/tap.bash"
cd "$DEADBUS_SCRATCH"
header=$OLDPWD/include/deadbus.h

version=$(sed -n 's/^#define DEADBUS_VERSION "\(.*\)"/\1/p' "$header")
is "the version is the header's" [ "$("$DEADBUS" --version)" = "deadbus $version" ]
is "-V is --version" [ "$("$DEADBUS" -V)" = "deadbus $version" ]
is "help, --help and -h are one" \
    [ "$("$DEADBUS" help)$("$DEADBUS" -h)" = "$("$DEADBUS" --help)$("$DEADBUS" --help)" ]
is "COMMAND --help is help COMMAND" \
    [ "$("$DEADBUS" state --help)" = "$("$DEADBUS" help state)" ]
is "--help after options too" \
    [ "$("$DEADBUS" state nowhere.yaml --phase x --help)" = "$("$DEADBUS" help state)" ]
for topic in "" check show state draw card schema man; do
    is "the caution is in help ${topic:-(all)}" \
        grep -q "approved flight manual" <("$DEADBUS" help $topic | tr -s '\n ' ' ')
    is "no line of help ${topic:-(all)} is wider than a terminal" \
        [ "$topic" = man -o -z "$("$DEADBUS" help $topic | grep -E '^.{90}')" ]
done

"$DEADBUS" help man >deadbus.1
"$DEADBUS" help bash >deadbus.bash
"$DEADBUS" help zsh >_deadbus
"$DEADBUS" help fish >deadbus.fish

man_is_quiet() {
    local said
    said=$(man --warnings -l deadbus.1 2>&1 >page </dev/null)
    [ -z "$said" ] || { echo "$said"; return 1; }
}
is "the manual page renders without a warning" man_is_quiet
for word in NAME SYNOPSIS "EXIT STATUS" -- --before-trip "=POSITION" alternator=dead; do
    [ "$word" = -- ] || is "the manual page says $word" grep -qe "$word" page
done
is "no roff is left in the page" [ -z "$(grep -E '\\f|^\.' page)" ]

is "bash reads its completions" bash -n deadbus.bash
if command -v zsh >/dev/null; then is "zsh reads its completions" zsh -n _deadbus; fi
if command -v fish >/dev/null; then is "fish reads its completions" fish --no-execute deadbus.fish; fi

# What bash offers after the words given, the last one unfinished.
offers() {
    bash -c '. ./deadbus.bash
        COMP_WORDS=(deadbus "$@"); COMP_CWORD=$#; _deadbus; echo "${COMPREPLY[*]}"' bash "$@"
}
touch aeroplane.yaml
is "bash offers commands" [ "$(offers s)" = "show state shed schema" ]
is "bash offers a command's options" [ "$(offers state a.yaml --f)" = "--fail" ]
is "bash offers only that command's" [ "$(offers show a.yaml --f)" = "--faults" ]
is "bash offers an option's words" [ "$(offers draw a.yaml --theme d)" = "dark" ]
is "bash offers files" [ "$(offers check aero)" = "aeroplane.yaml" ]
is "bash offers files after -o" [ "$(offers draw a.yaml -o aero)" = "aeroplane.yaml" ]
is "bash offers help topics" [ "$(offers help z)" = "zsh" ]
finish
