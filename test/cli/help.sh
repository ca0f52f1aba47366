# The help on everything. Compared with help.out: read it as a newcomer would.
for topic in "" check show state draw schema; do
    echo "\$ deadbus help $topic"
    "$DEADBUS" help $topic
    echo
done
