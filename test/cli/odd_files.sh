# Files that are too large, unreadable, or not files; answers that can't be written.
. "$(dirname "$0")/tap.bash"
cd "$DEADBUS_SCRATCH"

# 100 MB with 64 MB of memory and a second of time: it must be neither read whole nor kept.
head -c 100000000 /dev/zero | tr '\0' a >large.yaml
limited() { (ulimit -v "$1" && shift && timeout 5 "$@"); }
memory=65536
# A sanitizer's own maps are larger than any limit.
nm "$DEADBUS" 2>/dev/null | grep -q __asan_init && memory=unlimited
ends "a file of 100 MB" 1 limited $memory "$DEADBUS" check large.yaml
is "it says what is wrong with it" \
    grep -q "large.yaml:1:1: error: .*4 MB" <("$DEADBUS" check large.yaml 2>&1)
ends "standard input without an end" 1 limited $memory "$DEADBUS" check - <<<"$(head -c 5000000 large.yaml)"
ends "/dev/zero" 1 limited $memory "$DEADBUS" check /dev/zero
ends "an empty file" 1 "$DEADBUS" check /dev/null

ends "a file that isn't there" 3 "$DEADBUS" check nowhere.yaml
ends "a folder" 3 "$DEADBUS" check .
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
