# Files that are too large, unreadable, or not files; answers that can't be written.
. "$(dirname "$0")/tap.bash"
cd "$DEADBUS_SCRATCH"

# 100 MB with 64 MB of memory and a second of time: it must be neither read whole nor kept.
head -c 100000000 /dev/zero | tr '\0' a >large.yaml
limited() { (ulimit -v "$1" && shift && timeout $seconds "$@"); }
memory=65536 seconds=5
# A sanitizer's own maps are larger than any limit, and it takes ten times as long.
nm "$DEADBUS" 2>/dev/null | grep -q "__[am]san_init" && memory=unlimited seconds=60
ends "a file of 100 MB" 1 limited $memory "$DEADBUS" check large.yaml
is "it says what is wrong with it" \
    grep -q "large.yaml:1:1: error: .*4 MB" <("$DEADBUS" check large.yaml 2>&1)
ends "standard input without an end" 1 limited $memory "$DEADBUS" check - <<<"$(head -c 5000000 large.yaml)"
ends "/dev/zero" 1 limited $memory "$DEADBUS" check /dev/zero
ends "an empty file" 1 "$DEADBUS" check /dev/null
is "it says that nothing stands in it" \
    grep -q "^/dev/null:1:1: error: " <("$DEADBUS" check /dev/null 2>&1)

# Brackets, deep nesting, bytes that mean nothing: told at once, with little memory, once each.
small() { limited $memory "$DEADBUS" "$@"; }
head -c 100000 /dev/zero | tr '\0' '[' >brackets.yaml
printf 'deadbus: 1\nparts:\n' >deep.yaml
for ((i = 1; i <= 2000; i++)); do printf '%*sk%d:\n' "$i" '' "$i"; done >>deep.yaml
{ printf 'deadbus: 1\nparts: '; head -c 60000 /dev/zero | tr '\0' '{'; } >braces.yaml
{ printf 'deadbus: 1\nseen: {light: {light: A, lit-when: '; head -c 60000 /dev/zero | tr '\0' '('; } >round.yaml
# The same bytes in every run: multiples of a prime.
LC_ALL=C awk 'BEGIN { x = 1; for (i = 0; i < 200000; i++) { x = x * 16807 % 2147483647; printf "%c", int(x / 7) % 255 + 1 } }' \
    >garbage.yaml
for ((i = 0; i < 30000; i++)); do echo "part-$i: {breaker: 5 A, from: part-$((i + 1))}"; done >lines.yaml
{ printf 'deadbus: 1\nparts:\n'; sed 's/^/  /' lines.yaml; } >chain.yaml
for name in brackets deep braces round garbage lines; do
    for command in check state draw; do
        ends "$command: $name" 1 small $command $name.yaml
    done
    is "$name: every message has its place" bash -c '
        "$DEADBUS" check "$1" 2>&1 >/dev/null | grep -vE "^[a-z]+\.yaml:[0-9]+:[0-9]+: (error|warning|note): ." && exit 1
        [ "$("$DEADBUS" check "$1" 2>&1 >/dev/null | wc -l)" -gt 0 ]' - $name.yaml
done

# As large as an aeroplane may be, and larger: no command takes more than its share.
{
    printf 'deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n'
    printf '  battery: {battery: 24 V, capacity: 10 Ah at 1 h}\n  bus: {bus: MAIN, from: battery}\n'
    for ((i = 0; i < 3000; i++)); do
        echo "  item-$i: {equipment: 0.01 A, from: bus, breaker: 5 A B$i, switch: S$i}"
    done
} >star.yaml
[ "$memory" = unlimited ] || memory=131072
large() { (ulimit -v $memory && timeout $((6 * seconds)) "$DEADBUS" "$@"); }
ends "check: 30,000 parts" 1 large check chain.yaml
for command in check show "show --faults" state draw "state --fail battery=dead"; do
    # shellcheck disable=SC2086
    ends "$command: 12,000 parts" 0 large $command star.yaml
done

# A pipe with a name gives its bytes once, and an end.
mkfifo pipe
cp "$OLDPWD/aircraft/bowline.yaml" . && (cat bowline.yaml >pipe &)
ends "a pipe with a name" 0 timeout $seconds "$DEADBUS" check pipe
(head -c 100000000 /dev/zero >pipe 2>/dev/null &)
ends "a pipe that brings 100 MB" 1 timeout $seconds "$DEADBUS" check pipe
ends "a file without its last line end" 0 "$DEADBUS" check <(head -c -1 bowline.yaml)

ends "a file that isn't there" 3 "$DEADBUS" check nowhere.yaml
ends "a folder" 3 "$DEADBUS" check .
is "it says that it is one" grep -q "^\.: error: this is a folder" <("$DEADBUS" check . 2>&1)
ln -s loop loop
ends "a link to itself" 3 "$DEADBUS" check loop
printf 'deadbus: 1\n' >secret.yaml
chmod 0 secret.yaml
if [ "$(id -u)" -eq 0 ]; then
    # root may read everything: ask as nobody
    chmod 755 .
    cp "$DEADBUS" program 2>/dev/null && chmod 755 program
    ends "no permission" 3 setpriv --reuid=65534 --regid=65534 --clear-groups \
        "$PWD/program" check "$PWD/secret.yaml"
else
    ends "no permission" 3 "$DEADBUS" check secret.yaml
fi

ends "an answer into a folder that isn't there" 3 "$DEADBUS" schema -o nowhere/a.json
ends "an answer into a folder" 3 "$DEADBUS" schema -o .
ends "an answer onto a full disk" 3 "$DEADBUS" schema -o /dev/full
full() { "$DEADBUS" schema >/dev/full; }
ends "standard output full" 3 full
is "-o FILE holds what standard output would" \
    bash -c '"$DEADBUS" schema -o a.json && "$DEADBUS" schema | cmp - a.json'
ends "-o - is standard output" 0 "$DEADBUS" schema -o -
is "--output=FILE too" bash -c '"$DEADBUS" schema --output=b.json && cmp a.json b.json'
finish
